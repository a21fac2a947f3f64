"""The draw, done again from draw.json and boxes.csv by nothing but Python."""

import csv
import hashlib
import json

import pytest


def rank(rule, seed, purpose, stratum, unit):
    return hashlib.sha256("\n".join([rule, seed, purpose, stratum, unit]).encode()).hexdigest()


def serial_order(serial):
    """The tag of a later device, if any, then the number; the last part is the check digit."""
    *tag, number, _check = serial.split("-")
    return (int(tag[0]) if tag else 0, int(number))


def draw_rounds(orders, round_size):
    """Orders: stratum -> boxes by rank. The rule as draw.json words it."""
    sizes = {h: len(boxes) for h, boxes in orders.items()}
    total = sum(sizes.values())
    taken = {h: 0 for h in orders}
    drawn, rounds, current = 0, [], []

    def take(h):
        nonlocal drawn
        current.append((h, orders[h][taken[h]]))
        taken[h] += 1
        drawn += 1

    for h in sorted(orders, key=lambda key: int(key[1:])):
        for _ in range(min(2, sizes[h])):
            take(h)
    while True:
        if len(current) >= round_size:
            rounds.append(current)
            current = []
        open_strata = [h for h in orders if taken[h] < sizes[h]]
        if not open_strata:
            break
        take(min(open_strata, key=lambda h: (-((drawn + 1) * sizes[h] - taken[h] * total), h)))
    return rounds + ([current] if current else [])


@pytest.fixture
def record(unpacked):
    return json.loads((unpacked / "data" / "draw.json").read_text())


def listed(unpacked):
    with open(unpacked / "data" / "tables" / "boxes.csv", newline="") as table:
        return [(row["stratum"], row["box_id"]) for row in csv.DictReader(table)]


def test_the_frame_has_its_digest(record, unpacked):
    frame = sorted((box for box in listed(unpacked) if box[0] != "late"), key=lambda box: serial_order(box[1]))
    text = "quarterlight-frame-1\n" + "".join(f"{stratum}\t{serial}\n" for stratum, serial in frame)
    assert record["frame"]["n_boxes"] == len(frame) > 0
    assert record["frame"]["digest"] == hashlib.sha256(text.encode()).hexdigest()


def test_the_same_boxes_are_drawn(record, unpacked):
    draw, rules = record["draw"], record["rules"]
    (in_force,) = [roll for roll in record["rolls"] if roll["in_force"]]
    assert (in_force["seed"], in_force["entry"]) == (draw["seed"], draw["roll"])

    def ranked(stratum, serial):
        return rank(rules["rank_rule"], draw["seed"], rules["purpose_boxes"], stratum, serial)

    orders = {}
    for stratum, serial in listed(unpacked):
        if stratum != "late":
            orders.setdefault(stratum, []).append(serial)
    for stratum, serials in orders.items():
        serials.sort(key=lambda serial: ranked(stratum, serial))
    expected = [
        (stratum, serial, ranked(stratum, serial), number)
        for number, boxes in enumerate(draw_rounds(orders, draw["round_size"]), start=1)
        for stratum, serial in boxes
    ]
    assert [(b["stratum"], b["serial"], b["rank"], b["round"]) for b in draw["boxes"]] == expected


def test_the_same_items_are_drawn(record):
    draw, rules = record["draw"], record["rules"]
    assert draw["items"]
    for box in draw["items"]:
        ranked = sorted(
            (rank(rules["rank_rule"], draw["seed"], rules["purpose_items"], box["stratum"], f"{box['serial']}/{j}"), j)
            for j in range(1, box["n_items"] + 1)
        )
        wanted = draw["items_per_box"] or box["n_items"]
        assert box["drawn"] == sorted(j for _, j in ranked[:wanted]), box["serial"]


def test_another_seed_draws_others(record):
    """So that the test above could fail."""
    draw, rules = record["draw"], record["rules"]
    first = draw["boxes"][0]
    other = rank(rules["rank_rule"], draw["seed"] + " ", rules["purpose_boxes"], first["stratum"], first["serial"])
    assert other != first["rank"]
