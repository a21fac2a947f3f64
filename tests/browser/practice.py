"""The invented collection that a scripted surveyor meets, with the truth about every box and tape in it."""

import csv
import io
import json
import pathlib
import subprocess

import harness


class Practice:
    """What `quarterlight practice` made: the same seed gives the same collection everywhere."""

    def __init__(self, folder, boxes=412, seed=7):
        folder = pathlib.Path(folder)
        if not (folder / "truth.json").exists():
            command = [harness.DESK, "practice", "--boxes", str(boxes), "--seed", str(seed), "--out", str(folder)]
            subprocess.run([str(word) for word in command], check=True, stdout=subprocess.DEVNULL)
        self.list_text = (folder / "boxes.csv").read_text(encoding="utf-8")
        truth = json.loads((folder / "truth.json").read_text(encoding="utf-8"))
        self.seed, self.places = truth["seed"], truth["places"]
        self.boxes = {box["row"]: box for box in truth["boxes"]}
        self.rows = list(csv.DictReader(io.StringIO(self.list_text)))

    def rows_of(self, places):
        """The numbers of the rows of these places, in the order of the list."""
        return [row for row, box in self.boxes.items() if box["place"] in places]

    def list_of(self, places):
        """The list of these places only, as CSV."""
        text = io.StringIO()
        columns = ["place", "label", "group", "full", "items"]
        writer = csv.DictWriter(text, columns, lineterminator="\n")
        writer.writeheader()
        writer.writerows(row for row in self.rows if row["place"] in places)
        return text.getvalue()

    def questions(self):
        """Every question that the truth has an answer to."""
        keys = {}
        for box in self.boxes.values():
            keys.update(dict.fromkeys(box["answers"]))
            for item in box["items"]:
                keys.update(dict.fromkeys(item["answers"] or ()))
        return list(keys)
