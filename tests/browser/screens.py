"""Every screen of the app and the way there: one list for the pictures and for the accessibility checks.

A screen is a name and a function that brings a surveyor there from the screen before it in the list.
"""

import base64
import pathlib
import tempfile

import harness

LIST = "place,label,group,full,items\n" + "".join(
    f"{place},{kind} {number},{group},{1 + number % 4},{number * 7 % 40 if number % 3 else ''}\n"
    for place, group, kind, count in [
        ("Cellar rack", "Cellar", "crate", 14),
        ("Cellar arch", "Cellar", "card box", 9),
        ("Loft", "Upstairs", "trunk", 6),
    ]
    for number in range(1, count + 1)
)


def home(surveyor):
    surveyor.browser.wait_for_app()
    surveyor.wait_for("home-start")


def device(surveyor):
    surveyor.tap("device")
    surveyor.wait_for("device-person")


def hours(surveyor):
    surveyor.tap("device-done")
    surveyor.tap("home-start")
    surveyor.wait_for("setup-hours")


def about(surveyor):
    surveyor.tap("setup-go-on")
    surveyor.type_into("setup-title", "The mill by the weir")
    surveyor.type_into("setup-for-whom", "The valley's radio club")


def scope(surveyor):
    surveyor.tap("setup-go-on")
    surveyor.wait_for("setup-scope-originals")


def watch_list(surveyor):
    surveyor.tap("setup-to-watch-list")
    surveyor.wait_for("setup-watch-take")
    surveyor.tap("setup-watch-keys")


def before(surveyor):
    surveyor.tap("setup-watch-back")
    surveyor.tap("setup-go-on")
    surveyor.wait_for("setup-before-access")
    surveyor.tap("setup-people-more")


def places(surveyor):
    surveyor.tap("setup-go-on")
    surveyor.type_into("setup-place-name", "Meeting room")
    surveyor.tap("setup-place-add")
    surveyor.tap("setup-groups")


def renaming(surveyor):
    surveyor.tap("setup-rename-place-P1")
    surveyor.wait_for("setup-call-place-P1")


def wrong_list(surveyor):
    surveyor.tap("setup-place-list")
    surveyor.paste_into("setup-list-text", LIST + "Loft,trunk 1,Upstairs,9,\n")
    surveyor.tap("setup-list-take")
    surveyor.wait_for("setup-list-problems")


def taken_list(surveyor):
    surveyor.paste_into("setup-list-text", LIST)
    surveyor.tap("setup-list-take")
    surveyor.wait_for("setup-list-undo")


def boxes(surveyor):
    surveyor.tap("setup-go-on")
    surveyor.wait_for("setup-total")


def shelf(surveyor):
    surveyor.tap("setup-place-P1")
    for _ in range(3):
        surveyor.tap("setup-one-more")
    surveyor.tap("setup-several-open")
    surveyor.tap("setup-found-open")


def list_open(surveyor):
    surveyor.tap("setup-other-places")
    surveyor.tap("setup-go-on")
    surveyor.wait_for("setup-close")


def list_closed(surveyor):
    surveyor.tap("setup-close")
    surveyor.wait_for("setup-seal")


def seed(surveyor):
    surveyor.tap("setup-to-sample")
    surveyor.type_into("sample-seed", "6 2 5 1")


def drawn(surveyor):
    surveyor.tap("sample-draw")
    surveyor.wait_for("sample-begin")


def round_begun(surveyor):
    surveyor.tap("sample-begin")
    surveyor.wait_for("check-next")


def box_question(surveyor):
    surveyor.tap("check-next")
    surveyor.wait_for("check-outcome-found_opened")


def mould_question(surveyor):
    surveyor.tap("check-outcome-found_opened")
    surveyor.wait_for("check-mould-none")
    surveyor.tap("check-explain")


def count(surveyor):
    surveyor.tap("check-mould-none")
    surveyor.tap("check-vermin-none")
    surveyor.tap("check-odour_box-vinegar")
    surveyor.tap("check-count-reel_quarter-more")
    surveyor.tap("check-count-reel_quarter-more")
    surveyor.tap("check-count-others")


def item_hazard(surveyor):
    surveyor.tap("check-done")
    surveyor.wait_for("check-hazard-none")


def item_size(surveyor):
    surveyor.tap("check-hazard-none")
    surveyor.tap("check-carrier-reel_quarter")
    surveyor.wait_for("check-size-r7")


def quick_look(surveyor):
    surveyor.tap("check-size-r7")
    surveyor.tap("check-light-glows")
    surveyor.tap("check-back-glossy")
    surveyor.wait_for("check-quick-look")


def quick_look_explained(surveyor):
    surveyor.tap("check-explain")
    surveyor.tap("check-shape-cupped")


def item_wind(surveyor):
    surveyor.tap("check-alone-wind")
    surveyor.tap("check-wind-steps")
    surveyor.tap("check-wind-popped")


def label(surveyor):
    surveyor.tap("check-done")
    surveyor.tap("check-shape-cupped")
    surveyor.tap("check-free_end-clings")
    surveyor.tap("check-residue-brown")
    surveyor.tap("check-odour_tape-vinegar")
    surveyor.tap("check-quick-look")
    surveyor.tap("check-speed-s7_5")


def item_sheet(surveyor):
    surveyor.tap("check-done")
    surveyor.wait_for("check-onward")
    surveyor.tap("check-cannot-say")
    surveyor.tap("check-answers")


def batch(surveyor):
    surveyor.tap("check-batch-open")
    surveyor.type_into("check-batch-name", "Recorded by the club")
    surveyor.tap("check-batch-begin")


def pile(surveyor):
    surveyor.tap("check-aside-yes")
    surveyor.tap("day-check")
    surveyor.tap("check-aside-pile")
    surveyor.wait_for("check-to-round")


def card(surveyor):
    name = next(name for name in surveyor.names_on_screen() if name.startswith("check-aside-"))
    surveyor.tap(name)
    surveyor.wait_for("check-card-save")


def same_as_last(surveyor):
    surveyor.tap("day-check")
    surveyor.tap("check-next")
    surveyor.tap("check-hazard-none")
    surveyor.tap("check-same")
    surveyor.wait_for("check-same-confirm")


# A picture as a camera would hand it over.
PICTURE = """
const canvas = document.createElement("canvas");
canvas.width = 900; canvas.height = 600;
const pen = canvas.getContext("2d");
pen.fillStyle = "#c9b48a"; pen.fillRect(0, 0, 900, 600);
pen.fillStyle = "#332211"; pen.font = "64px serif";
pen.fillText("Brass band, 3\u00be", 60, 200); pen.fillText("May 1971, hall", 60, 320);
return canvas.toDataURL("image/jpeg", 0.9).split(",")[1];
"""


def photographed(surveyor):
    surveyor.tap("check-same-not")
    path = pathlib.Path(tempfile.mkdtemp(prefix="quarterlight-test-")) / "label.jpg"
    path.write_bytes(base64.b64decode(surveyor.browser.run_async(PICTURE)))
    surveyor.give_file("check-photo", path)
    surveyor.wait_for("check-photo-remove-1")


def put_off(surveyor):
    surveyor.tap("check-carrier-photographed")
    surveyor.wait_gone("check-carrier-photographed")


def drawn_tapes_are_looked_at(surveyor):
    surveyor.browser.run("location.hash = location.hash.replace(/item\\/([0-9-]+).*$/, 'box/$1/sheet')")
    note = "return location.hash.endsWith('/sheet') && [...document.querySelectorAll('main p.hint')].some((e) => e.textContent.includes('\u201c'))"
    harness.wait_until(lambda: surveyor.browser.run(note), "the note that every drawn tape is looked at")


def stopped_box(surveyor):
    surveyor.tap("day-check")
    waiting = [name for name in surveyor.names_on_screen() if name.startswith("check-box-")]
    surveyor.tap(waiting[1])
    surveyor.tap("check-outcome-stopped")
    surveyor.tap("check-outcome_reason-mould")
    surveyor.tap("check-vermin-cant_tell")
    surveyor.wait_for("check-onward")


def measure(surveyor):
    surveyor.tap("check-add-count_outside_guess")
    surveyor.tap("check-count_outside_guess-4")


def more(surveyor, way):
    """From anywhere in the survey, by the round's list of what else there is."""
    surveyor.tap("day-check")
    surveyor.wait_for("check-next")
    surveyor.tap("check-more")
    surveyor.tap(way)


def along_the_shelves(surveyor):
    more(surveyor, "check-map")
    surveyor.wait_for("check-to-round")


def set_apart(surveyor):
    more(surveyor, "check-found")
    surveyor.wait_for("found-print")


def hands(surveyor):
    more(surveyor, "check-hands")
    surveyor.type_into("hands-looks", "Ash")
    surveyor.wait_for("hands-one")


def sheets(surveyor):
    surveyor.tap("hands-one")
    more(surveyor, "check-paper")
    surveyor.wait_for("paper-print")


def which_sheet(surveyor):
    more(surveyor, "check-typing")
    surveyor.wait_for("typing-serial")


def typed_sheet(surveyor):
    script = "return [...document.querySelectorAll('.row-todo')].map((e) => e.dataset.tap.slice(10))"
    surveyor.tap("day-check")
    surveyor.wait_for("check-next")
    serial = surveyor.browser.run(script)[-1]
    more(surveyor, "check-typing")
    surveyor.type_into("typing-serial", serial)
    surveyor.tap("typing-open")
    surveyor.type_into("typing-answer", "77")
    surveyor.tap("typing-take")
    surveyor.wait_text("not on the sheet", "nicht auf dem Blatt")


def to_read(surveyor):
    more(surveyor, "check-to-read")
    surveyor.wait_for("read-begin")


def read_one(surveyor):
    surveyor.tap("read-begin")
    surveyor.wait_for("read-carrier-cassette")


def read_again(surveyor):
    surveyor.tap("read-list")
    surveyor.tap("read-to-again")
    surveyor.wait_for("again-fix")


def no_results_yet(surveyor):
    surveyor.tap("day-results")
    surveyor.wait_for("results-to-check")


def practice_round(surveyor):
    surveyor.tap("home")
    surveyor.tap("home-practise")
    surveyor.wait_for("check-results")


def results(surveyor):
    surveyor.tap("check-results")
    surveyor.wait_for("results-to-handover")
    surveyor.tap("results-small-print")


def takes(surveyor):
    surveyor.tap("results-takes")
    surveyor.wait_for("takes-assume")


def assumed(surveyor):
    surveyor.tap("takes-assume")
    surveyor.type_into("assume-currency", "EUR")
    surveyor.wait_for("assume-money.labour")


def a_price(surveyor):
    surveyor.tap("assume-money.labour")
    surveyor.type_into("assume-low", "28")
    surveyor.type_into("assume-likely", "26,5")
    surveyor.type_into("assume-high", "45")
    surveyor.type_into("assume-source", "The club's own payroll")
    surveyor.tap("assume-keep")
    surveyor.wait_text("At least must not be more than likely", "nicht mehr sein als „wahrscheinlich“")


def keeping(surveyor):
    surveyor.type_into("assume-likely", "34,5")
    surveyor.tap("assume-keep")
    surveyor.wait_text("34.5 (28 to 45) EUR", "34,5 (28 bis 45) EUR")
    surveyor.tap("assume-keeping")
    surveyor.tap("assume-copies-less")


def what_a_sum_does(surveyor):
    surveyor.tap("assume-list")
    surveyor.tap("assume-back")
    surveyor.type_into("takes-budget", "60000")
    surveyor.wait_text("all of them with a chance of", "alle mit einer Wahrscheinlichkeit von")


def side_by_side_none(surveyor):
    surveyor.tap("takes-scenarios")
    surveyor.wait_for("scenarios-none")


def a_scenario(surveyor):
    surveyor.type_into("scenario-name", "Two machines in the mill's kitchen")
    surveyor.tap("scenario-add")
    surveyor.tap("scenario-machines-more")
    surveyor.paste_into("scenario-budget", "60000")


def a_scenario_s_values(surveyor):
    surveyor.tap("scenario-values")
    surveyor.wait_for("assume-money.labour")


def side_by_side(surveyor):
    surveyor.tap("assume-back")
    surveyor.tap("scenario-back")
    surveyor.wait_text("pays for all of it", "für alles")


def hand_over(surveyor):
    surveyor.tap("scenarios-takes")
    surveyor.tap("takes-figures")
    surveyor.tap("results-to-handover")
    surveyor.wait_for("handover-save")


def handed_over(surveyor):
    surveyor.tap("handover-save")
    surveyor.wait_text(".zip, ")


def papers(surveyor):
    surveyor.tap("handover-papers")
    surveyor.tap("papers-section-glossary")
    surveyor.tap("papers-for-outsiders")
    surveyor.give_file("earlier-choose", pathlib.Path(__file__).parents[1] / "formats" / "survey-1.zip")
    surveyor.wait_for("earlier-refused")


def own_words(surveyor):
    surveyor.tap("papers-words-glossary")
    surveyor.paste_into("papers-words", "word " * 900)
    surveyor.tap("papers-words-keep")
    surveyor.wait_text("too long", "zu viel")


def a_paper_made(surveyor):
    surveyor.tap("papers-words-back")
    surveyor.tap("papers-make-paragraph")
    surveyor.wait_for("papers-copy")


def changed(surveyor):
    surveyor.tap("papers-back")
    surveyor.tap("day-results")
    surveyor.tap("results-changed")
    # What it was when it came: the same list of boxes, and fewer entries.
    surveyor.give_file("earlier-choose", harness.DIST / "practice.zip")
    surveyor.wait_for("earlier-drop")
    surveyor.wait_text("May have changed or not", "Vielleicht geändert")


def sealing(surveyor):
    surveyor.tap("day-handover")
    surveyor.tap("handover-seal")
    surveyor.wait_for("handover-save-sealed")


def lock_offered(surveyor):
    surveyor.tap("lock")
    surveyor.type_into("lock-new-passphrase", "plum orchard")


def locked_here(surveyor):
    surveyor.tap("lock-now")
    surveyor.wait_for("lock-shut")


def locked(surveyor):
    surveyor.driver.refresh()
    surveyor.wait_for("lock-open")
    surveyor.type_into("lock-passphrase", "plum")
    surveyor.tap("lock-open")
    surveyor.wait_text("does not fit", "passt nicht")


def delete_asked(surveyor):
    surveyor.type_into("lock-passphrase", "plum orchard")
    surveyor.tap("lock-open")
    surveyor.tap("delete")
    surveyor.wait_for("delete-yes")


def delete_asked_twice(surveyor):
    surveyor.tap("delete-yes")
    surveyor.wait_for("delete-really")


def team_folder(surveyor):
    surveyor.tap("delete-keep")
    surveyor.tap("handover-folder")
    surveyor.type_into("folder-address", "http://files.example/team")
    surveyor.tap("folder-exchange")
    surveyor.wait_text("https://, so that", "https:// beginnen")


def shown_beside(surveyor):
    surveyor.tap("folder-back")
    surveyor.tap("handover-beside")
    surveyor.wait_for("beside-run")
    surveyor.tap("beside-further")


def camera(surveyor):
    surveyor.tap("beside-read-known")
    surveyor.wait_for("camera-on")


def review(surveyor):
    surveyor.browser.run("location.hash = '#/review'")
    surveyor.wait_for("review-file")


def reviewed(surveyor):
    surveyor.give_file("review-file", pathlib.Path(__file__).parents[1] / "formats" / "survey-1.zip")
    surveyor.wait_for("review-report")


def several_surveys(surveyor):
    surveyor.tap("home")
    surveyor.wait_for("home-go-on")
    harness.wait_until(
        lambda: sum(name.startswith("survey-") for name in surveyor.names_on_screen()) >= 2, "both surveys in the list"
    )


def differing_taken_in(surveyor):
    surveyor.browser.run("location.hash = '#/'")
    surveyor.wait_for("home-open")
    surveyor.give_file("home-open", pathlib.Path(__file__).parents[1] / "support" / "differing.zip")
    surveyor.wait_for("check-differ")


def differing(surveyor):
    surveyor.tap("check-differ")
    surveyor.wait_for("differ-pairs")
    surveyor.tap("differ-pairs")


SCREENS = [
    ("home", home),
    ("device", device),
    ("hours", hours),
    ("about", about),
    ("scope", scope),
    ("watch-list", watch_list),
    ("before", before),
    ("places", places),
    ("renaming", renaming),
    ("wrong-list", wrong_list),
    ("taken-list", taken_list),
    ("boxes", boxes),
    ("shelf", shelf),
    ("list-open", list_open),
    ("list-closed", list_closed),
    ("seed", seed),
    ("drawn", drawn),
    ("round-begun", round_begun),
    ("box-question", box_question),
    ("mould-question", mould_question),
    ("count", count),
    ("item-hazard", item_hazard),
    ("item-size", item_size),
    ("quick-look", quick_look),
    ("quick-look-explained", quick_look_explained),
    ("item-wind", item_wind),
    ("label", label),
    ("item-sheet", item_sheet),
    ("batch", batch),
    ("pile", pile),
    ("card", card),
    ("same-as-last", same_as_last),
    ("photographed", photographed),
    ("put-off", put_off),
    ("drawn-tapes-are-looked-at", drawn_tapes_are_looked_at),
    ("stopped-box", stopped_box),
    ("measure", measure),
    ("along-the-shelves", along_the_shelves),
    ("set-apart", set_apart),
    ("hands", hands),
    ("sheets", sheets),
    ("which-sheet", which_sheet),
    ("typed-sheet", typed_sheet),
    ("to-read", to_read),
    ("read-one", read_one),
    ("read-again", read_again),
    ("no-results-yet", no_results_yet),
    ("practice-round", practice_round),
    ("results", results),
    ("takes", takes),
    ("assumed", assumed),
    ("a-price", a_price),
    ("keeping", keeping),
    ("what-a-sum-does", what_a_sum_does),
    ("side-by-side-none", side_by_side_none),
    ("a-scenario", a_scenario),
    ("a-scenario-s-values", a_scenario_s_values),
    ("side-by-side", side_by_side),
    ("hand-over", hand_over),
    ("handed-over", handed_over),
    ("papers", papers),
    ("own-words", own_words),
    ("a-paper-made", a_paper_made),
    ("changed", changed),
    ("sealing", sealing),
    ("lock-offered", lock_offered),
    ("locked-here", locked_here),
    ("locked", locked),
    ("delete-asked", delete_asked),
    ("delete-asked-twice", delete_asked_twice),
    ("team-folder", team_folder),
    ("shown-beside", shown_beside),
    ("camera", camera),
    ("several-surveys", several_surveys),
    ("review", review),
    ("reviewed", reviewed),
    ("differing-taken-in", differing_taken_in),
    ("differing", differing),
]
