"""The rack on the command line, and as a table: what goes in comes out, what is wrong is said."""

from __future__ import annotations

import io
import json
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopstep.cli.main import run
from shopstep.model.rack import Answers, KeptPiece, Stuff, barred_words
from shopstep.present.rack_text import ASKED
from shopstep.storage.folders import rack_file
from shopstep.storage.rack_csv import COLUMNS, LONGEST_NOTE, CsvProblem, read_rows, write_rows
from shopstep.storage.rack_file import RackFile
from shopstep.units import LONGEST_NM, Length
from tests.floor import FILE
from tests.rack_bench import fill_rack, kept

NO_TO_ALL = ("--no-metal", "--no-old-paint", "--no-preservative", "--no-damp")


def say(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """What a command that works prints."""
    assert run(["rack", *arguments]) == 0, capsys.readouterr().err
    return capsys.readouterr().out


def listed(capsys: pytest.CaptureFixture[str]) -> dict[str, dict[str, object]]:
    """``rack list --json --all``, by id."""
    document = json.loads(say(capsys, "list", "--all", "--json"))
    assert document["version"] == 1
    return {piece["id"]: piece for piece in document["pieces"]}


def test_a_piece_is_put_on_listed_and_taken_off(capsys: pytest.CaptureFixture[str]) -> None:
    assert "Nothing lies on the rack" in say(capsys, "list")
    said = say(capsys, "add", "38 1/2 in", "5.5in", "19 mm", "--defect", "12in..14in")
    assert "Write R1 on it" in said
    assert "R2" in say(capsys, "add", "30in", "5in", "3/4in", "--count", "2")
    pieces = listed(capsys)
    assert list(pieces) == ["R1", "R2", "R3"]
    assert pieces["R1"]["thickness"] == {"nm": 19_000_000, "text": "3/4 in"}
    assert "12 in to 14 in" in say(capsys, "list")
    say(capsys, "drop", "R1")
    say(capsys, "use", "R3")
    gone = {id_: piece["gone"] for id_, piece in listed(capsys).items()}
    assert gone == {"R1": "dropped", "R2": None, "R3": "used"}
    assert "R4" in say(capsys, "add", "20in", "5in", "3/4in"), "a number is never given twice"


@pytest.mark.parametrize(
    ("arguments", "code", "hint"),
    [
        (["add", "3", "4", "5"], 2, "'3' has no unit"),
        (["add", "0 in", "4 in", "1 in"], 2, "more than nothing"),
        (["add", "20in", "4in", "1in", "--defect", "5in"], 2, "20 in..24 in"),
        (["add", "20in", "4in", "1in", "--defect", "5in..30in"], 2, "does not lie on a piece"),
        (["add", "20in", "4in", "1in", "--defect", "0in..20in"], 2, "leave nothing"),
        (["add", "20in", "4in", "1in", "--id", "a b"], 2, "is no id"),
        (["add", "20in", "4in", "1in", "--id", "R1"], 1, "on the rack already"),
        (["use", "R9"], 1, "there are: R1"),
        (["inspect", "R9"], 1, "no piece 'R9'"),
        (["import", "nowhere.csv"], 4, "nowhere.csv"),
    ],
)
def test_wrong_words_get_one_sentence(
    arguments: list[str], code: int, hint: str, capsys: pytest.CaptureFixture[str]
) -> None:
    fill_rack(kept("20 in", "5 in"))
    assert run(["rack", *arguments]) == code
    said = capsys.readouterr()
    assert hint in said.err
    assert "Traceback" not in said.err
    assert list(listed(capsys)) == ["R1"]


def test_a_reclaimed_piece_is_offered_only_once_it_was_looked_over(
    capsys: pytest.CaptureFixture[str],
) -> None:
    said = say(capsys, "add", "30in", "5.5in", "3/4in", "--reclaimed")
    assert "No plan gets it: reclaimed, and not looked over yet" in said
    assert "shopstep rack inspect R1\n" in said
    for option in ("--[no-]metal", "--[no-]old-paint", "--[no-]preservative", "--[no-]damp"):
        assert option in said  # without a terminal nothing is asked: how to answer is told
    assert "not looked over yet" in say(capsys, "list")
    assert "treated wood" in say(capsys, "inspect", "R1", *NO_TO_ALL[:2], "--preservative")
    assert not listed(capsys)["R1"]["offered"]
    assert "offered to plans from now on" in say(capsys, "inspect", "R1", *NO_TO_ALL)
    assert listed(capsys)["R1"]["offered"]


def test_the_help_of_the_rack_cuts_no_sentence_short(capsys: pytest.CaptureFixture[str]) -> None:
    assert "..." not in say(capsys, "--help").partition("Commands:")[2]


class Typing(io.StringIO):
    """Somebody at a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(("typed", "offered"), [("n\nn\nn\nn\n", True), ("y\nn\nn\nn\n", False)])
def test_at_a_terminal_each_question_is_asked_once(
    typed: str, offered: bool, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", Typing(typed))
    said = say(capsys, "add", "30in", "5.5in", "3/4in", "--reclaimed")
    assert [said.count(question) for question in ASKED.values()] == [1, 1, 1, 1]
    assert listed(capsys)["R1"]["offered"] is offered
    assert listed(capsys)["R1"]["metal"] is not offered


@pytest.mark.parametrize(
    ("answers", "reason"),
    [
        (Answers(True, False, False, False), "metal"),
        (Answers(False, True, False, False), "lead"),
        (Answers(False, False, True, False), "no hive"),
        (Answers(False, False, False, True), "damp"),
        (Answers(False, False, False, None), "not looked over"),
        (Answers(False, False, False, False), ""),
    ],
)
def test_why_a_reclaimed_piece_is_not_cut(answers: Answers, reason: str) -> None:
    """Treated wood: EPA Consumer Information Sheet; lead: 16 CFR 1303; the rest common practice."""
    piece = kept("30 in", "5 in")
    told = KeptPiece("R1", piece.stuff, piece.length, piece.width, piece.thickness,
                     reclaimed=True, answers=answers)  # fmt: skip
    assert (reason in barred_words(told)) if reason else (barred_words(told) == "")


def test_what_is_barred_reaches_no_plan_and_the_plan_says_why(
    capsys: pytest.CaptureFixture[str],
) -> None:
    fill_rack(kept("90 in", "5 1/2 in"), kept("90 in", "5 1/2 in", "1 in"))
    say(capsys, "add", "90in", "5.5in", "3/4in", "--id", "old", "--reclaimed")
    assert run(["plan", str(FILE), "--json", "--now", "2026-01-15T18:00"]) == 0
    plan = json.loads(capsys.readouterr().out)
    assert "R1" in {piece["id"] for piece in plan["stock"]}
    assert not {"old", "R2"} & {piece["id"] for piece in plan["stock"]}
    (found,) = [f for f in plan["findings"] if f["rule"] == "rack_left_out"]
    assert "old (reclaimed, and not looked over yet)" in found["text"]
    said = "R2 (1 in thick, not 3/4 in, and the shop's settings have no planer)"
    assert said in found["text"]
    assert run(["plan", str(FILE), "--json", "--no-rack", "--now", "2026-01-15T18:00"]) == 0
    plan = json.loads(capsys.readouterr().out)
    assert not [piece for piece in plan["stock"] if piece["from_rack"]]


def test_a_promised_piece_is_taken_only_when_that_is_meant(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fill_rack()
    start = ["start", str(FILE), "--session", str(tmp_path / "a.session"), "--plain"]
    assert run([*start, "--now", "2026-01-15T18:00"]) == 0
    capsys.readouterr()
    promised = next(id_ for id_, piece in listed(capsys).items() if piece["promised_to"])
    assert run(["rack", "use", promised]) == 1
    assert "is promised to" in capsys.readouterr().err
    assert promised in say(capsys, "use", promised, "--anyway")


lengths = st.integers(1, LONGEST_NM).map(Length)
notes = st.text(st.characters(codec="utf-8", exclude_categories=["C"]), max_size=40).map(
    lambda text: " ".join(text.split())
)
answers_ = st.builds(Answers, *[st.none() | st.booleans()] * 4)


@st.composite
def pieces(draw: st.DrawFn) -> KeptPiece:
    """Any piece that the rack can hold."""
    length = draw(st.integers(1000, LONGEST_NM))
    marks = sorted(draw(st.sets(st.integers(0, length - 1), max_size=4)))
    zones = tuple((Length(a), Length(b)) for a, b in zip(marks[::2], marks[1::2], strict=False))
    return KeptPiece(
        draw(st.from_regex(r"\A[A-Za-z0-9._-]{1,20}\Z")),
        draw(st.sampled_from(Stuff)),
        Length(length),
        draw(lengths),
        draw(lengths),
        zones,
        draw(notes),
        draw(st.booleans()),
        draw(answers_),
    )


@given(st.lists(pieces(), max_size=6, unique_by=lambda piece: piece.id).map(tuple))
@settings(max_examples=100, deadline=None)
def test_a_table_written_and_read_is_the_same_to_the_nanometre(
    rack: tuple[KeptPiece, ...],
) -> None:
    assert tuple(piece for _, piece in read_rows(write_rows(rack))) == rack


def test_a_rack_goes_out_and_comes_back_on_another_machine(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    say(capsys, "add", "38 1/2 in", "5 1/2 in", "3/4 in", "--note", 'says "oak", maybe')
    say(capsys, "add", "1200 mm", "600 mm", "12.2 mm", "--material", "plywood", "--id", "P-1")
    say(capsys, "add", "30in", "5in", "3/4in", "--defect", "2in..3in", *NO_TO_ALL)
    before, table = listed(capsys), tmp_path / "rack.csv"
    assert run(["rack", "export", str(table)]) == 0
    assert "3 pieces" in capsys.readouterr().err
    rack_file().unlink()
    assert say(capsys, "import", str(table)) == "3 new, 0 measured anew.\n"
    assert listed(capsys) == before
    assert say(capsys, "import", str(table)) == "0 new, 0 measured anew.\n"
    table.write_text(table.read_text("utf-8").replace("38 1/2 in", "37 in"), "utf-8")
    assert say(capsys, "import", str(table)) == "0 new, 1 measured anew.\n"
    assert listed(capsys)["R1"]["length"] == {"nm": 37 * 25_400_000, "text": "37 in"}


HEAD = "id,length,width,thickness,material,defects,reclaimed\n"


@pytest.mark.parametrize(
    ("table", "hint"),
    [
        ("", "line 1: column 'length' is missing"),
        ("lenght,width,thickness\n", "line 1: there is no column 'lenght'; did you mean 'length'?"),
        ("length,width\n3 in,4 in\n", "line 1: column 'thickness' is missing"),
        ("length,length,width,thickness\n", "line 1: column 'length' stands there twice"),
        (HEAD + ",30 in,5 in,3/4 in,,,\n,30,5 in,3/4 in,,,\n", "line 3: length: '30' has no unit"),
        (HEAD + ",30 in,,3/4 in,,,\n", "line 2: width is empty"),
        (HEAD + ",30 in,5 in,3/4 in,plywod,,\n", "line 2: there is no material 'plywod'; did you"),
        (HEAD + ",30 in,5 in,3/4 in,,20 in..40 in,\n", "line 2: defect '20 in..40 in' does not"),
        (HEAD + ",30 in,5 in,3/4 in,,1 in..4 in; 3 in..5 in,\n", "overlap"),
        (HEAD + ",30 in,5 in,3/4 in,,,maybe\n", "line 2: reclaimed is 'maybe'; write yes, no"),
        (HEAD + "A,30 in,5 in,3/4 in,,,\nA,3 in,5 in,3/4 in,,,\n", "line 3: A stands in line 2"),
        (HEAD + ",30 in,5 in,3/4 in,,,,,,,\n", "line 2: 11 cells for 7 columns"),
        (HEAD + '"unclosed,30 in\n', "is no CSV"),
        (HEAD + "gone,30 in,5 in,3/4 in,,,\n", "line 2: gone left the rack (used)"),
    ],
)
def test_a_bad_row_is_told_with_its_line_and_nothing_is_read_in(
    table: str, hint: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fill_rack(kept("20 in", "5 in", id_="gone"))
    say(capsys, "use", "gone")
    file = tmp_path / "t.csv"
    file.write_text(table, "utf-8")
    before = listed(capsys)
    code = run(["rack", "import", str(file)])
    said = capsys.readouterr().err
    assert code in (1, 2)
    assert hint in said
    assert str(file) in said
    assert "nothing was read in" in said
    assert listed(capsys) == before


def test_a_row_without_an_id_never_loses_its_number_to_one_that_names_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    table = tmp_path / "rack.csv"
    table.write_text("id,length,width,thickness\n,38 in,5 in,3/4 in\nR1,20 in,4 in,3/4 in\n")
    assert say(capsys, "import", str(table)) == "2 new, 0 measured anew.\n"
    lengths = {id_: piece["length"] for id_, piece in listed(capsys).items()}
    assert lengths == {
        "R1": {"nm": Length.inches(20).nm, "text": "20 in"},
        "R2": {"nm": Length.inches(38).nm, "text": "38 in"},
    }


def test_a_long_table_holds_the_rack_for_a_moment_only(tmp_path: Path) -> None:
    """A tick waits two seconds for the rack; reading it for every row took 3.5 s of 1,000."""
    rows = "".join(f"{10 + number % 30} in,5 in,3/4 in\n" for number in range(1000))
    pieces = tuple(read_rows(f"length,width,thickness\n{rows}"))
    began = time.process_time()
    assert RackFile(tmp_path / "rack.db").merge(pieces, 0) == (1000, 0)
    assert time.process_time() - began < 1.5


def test_a_note_that_is_too_long_is_told() -> None:
    row = f"1 in,1 in,1 in,{'x' * (LONGEST_NOTE + 1)}"
    with pytest.raises(CsvProblem, match="line 2: the note has 501 letters"):
        list(read_rows(f"length,width,thickness,note\n{row}\n"))


def test_the_help_of_import_names_every_column(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rack", "import", "--help"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert ", ".join(COLUMNS) in said


@pytest.mark.parametrize(
    ("data", "hint"),
    [
        (b"hello" * 100, "is damaged or no rack file"),
        (b"SQLite format 3\x00" + b"\x00" * 84, "database of another program"),
    ],
)
def test_another_file_in_the_place_of_the_rack_stays_as_it_is(
    data: bytes, hint: str, capsys: pytest.CaptureFixture[str]
) -> None:
    rack_file().parent.mkdir(parents=True, exist_ok=True)
    rack_file().write_bytes(data)
    for words in (["rack", "list"], ["rack", "add", "3in", "4in", "1in"], ["plan", str(FILE)]):
        assert run(words) == 4
        assert hint in capsys.readouterr().err
    assert rack_file().read_bytes() == data
    assert run(["plan", str(FILE), "--no-rack"]) == 0
