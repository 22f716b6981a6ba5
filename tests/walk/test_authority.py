"""Whose word is enough: every row of the table, and what the log holds of a word."""

import json
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from attrs import evolve

from pourdeck.paper.diary import diary_line
from pourdeck.paper.record import record_bytes
from pourdeck.plan.authority import built_in, rule_of
from pourdeck.plan.messages import JobFaulty, Refusal
from pourdeck.plan.records import ROLES, WAYS, Job, JobWord, Person
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.state import replay
from pourdeck.walk import acts
from pourdeck.walk.ascast import as_cast
from pourdeck.walk.authority import (
    TRIES,
    JudgedWord,
    PinTries,
    Word,
    WrongPin,
    add_person,
    judge,
    set_pin,
)
from pourdeck.walk.records import Act
from pourdeck.walk.words import ask_again
from tests.walk.kit import (
    CHECKER,
    ENGINEER,
    FOREMAN,
    HAND,
    JOB,
    KIT,
    PEOPLE,
    WITH_ENGINEER,
    Crew,
    crew,
    job_of,
    on_second,
    open_desk,
    refused,
)
from tests.walk.pour_kit import POUR_JOB, begun, do, load, page

ACTS = tuple(built_in())
AT = datetime(2026, 3, 2, 14, 5, tzinfo=UTC)
CALL = Word(of=ENGINEER, way="phone", at=AT, taken_by=FOREMAN, reason="looked at the photos")
LETTER = evolve(CALL, way="writing", reference="RFI 12")
EVERYBODY = job_of(
    JOB.replace(
        PEOPLE, "".join(f'[[person]]\nname = "The {one}"\nrole = "{one}"\n' for one in ROLES)
    )
)
"""A job with one person of every role."""

SALT = bytes(range(16))


def enough(act: str, **more: object) -> Word:
    """A word that is enough for an act, given here."""
    role = rule_of(EVERYBODY, act).roles[0]
    return evolve(Word(of=f"The {role}", reason="why"), **more)


def with_pin(job: Job, name: str, digits: str = "4711") -> Job:
    """The job where this person has a PIN, as the log gives it."""
    act = set_pin(job, name, digits, digits, SALT)
    assert isinstance(act, Act)
    state = replay([])
    from pourdeck.walk.words import with_people

    state.apply(entry_of(act))
    return with_people(job, state)


def entry_of(act: Act, n: int = 1) -> Entry:
    data = json.loads(json.dumps(act.data))
    return Entry(
        station="shed", n=n, at=AT, by=act.by, kind=act.kind, data=data, prev="", seal="0" * 64
    )


# Every row.


@pytest.mark.parametrize("act", ACTS)
def test_who_may_is_judged_by_role(act: str) -> None:
    roles = built_in()[act].roles
    for role in ROLES:
        found = judge(act, Word(of=f"The {role}", reason="why"), EVERYBODY)
        assert isinstance(found, JudgedWord) is (role in roles), role
        if isinstance(found, JudgedWord):
            assert found.data == {"word": {"of": f"The {role}", "role": role, "way": "here"}}
            assert (found.name, found.role, found.reason) == (f"The {role}", role, "why")
        else:
            assert built_in()[act].does in found.title
            assert role in found.title
            assert built_in()[act].why in found.body
            assert f"The {roles[0]}" in found.body, "it names who may"


@pytest.mark.parametrize("act", ACTS)
def test_where_the_job_names_nobody_the_role_that_is_said_counts(act: str) -> None:
    nobody = evolve(EVERYBODY, people=())
    rule = built_in()[act]
    assert isinstance(judge(act, Word(of="Kim", role="", reason="why"), nobody), Refusal)
    assert isinstance(judge(act, Word(of="Kim", role="driver", reason="why"), nobody), Refusal)
    given = judge(act, Word(of="Kim", role=f" {rule.roles[0].title()} ", reason="why"), nobody)
    assert isinstance(given, JudgedWord)
    assert given.role == rule.roles[0]
    unasked = judge(act, Word(of="Kim", reason="why"), nobody)
    assert isinstance(unasked, Refusal) is (rule.roles == ("engineer",))


@pytest.mark.parametrize("act", ACTS)
def test_the_doer_is_barred_where_the_table_says_so(act: str) -> None:
    word = enough(act)
    found = judge(act, word, EVERYBODY, {word.of.casefold(): "measured it"})
    if built_in()[act].doer:
        assert isinstance(found, JudgedWord)
    else:
        assert isinstance(found, Refusal)
        assert found.title == f"{word.of} measured it."
        assert "Somebody else must" in found.body


def test_these_bar_the_doer_and_only_these() -> None:
    assert {act for act, rule in built_in().items() if not rule.doer} == {
        "release.drawing", "release.as-cast-below", "release.surface", "release.set-out",
        "release.pour", "accept", "accept-critical", "disposition.use-as-is", "close-nonconformance",
    }  # fmt: skip


@pytest.mark.parametrize("reason", ["", "   ", "\t\n"])
@pytest.mark.parametrize("act", ACTS)
def test_an_empty_reason_is_none(act: str, reason: str) -> None:
    found = judge(act, enough(act, reason=reason), EVERYBODY)
    asked = built_in()[act].reason
    assert isinstance(found, Refusal) is bool(asked)
    if isinstance(found, Refusal):
        assert found.title == f"No {asked} given."


@pytest.mark.parametrize("act", ACTS)
def test_who_has_a_pin_signs_with_it(act: str) -> None:
    word = enough(act)
    job = with_pin(EVERYBODY, word.of)
    assert "signs with a PIN" in refused(judge(act, word, job)).title  # type: ignore[arg-type]
    assert isinstance(judge(act, evolve(word, pin="1234"), job), WrongPin)
    found = judge(act, evolve(word, pin="4711"), job)
    assert isinstance(found, JudgedWord)
    assert "4711" not in json.dumps(found.data)
    assert isinstance(judge(act, word, EVERYBODY), JudgedWord)


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("act", ACTS)
def test_a_way_that_is_not_enough_is_refused(act: str, way: str) -> None:
    word = enough(act, way=way, at=AT, reference="RFI 12", taken_by="The hand")
    taker = word if word.of != "The hand" else evolve(word, taken_by="The foreman")
    found = judge(act, taker, EVERYBODY)
    assert isinstance(found, JudgedWord) is (way in built_in()[act].ways)


def test_no_release_is_by_phone() -> None:
    by_phone = {act for act, rule in built_in().items() if "phone" not in rule.ways}
    assert "lift-release" in by_phone
    assert {act for act in ACTS if act.startswith("release.")} < by_phone


# A word that was not given here.


@pytest.mark.parametrize(
    ("lacks", "title"),
    [
        ({"reference": " "}, "No document named."),
        ({"at": None}, "No date of the document or message given."),
        ({"taken_by": ""}, "Nobody named who took it down."),
        ({"taken_by": "Zed"}, "Taken down by: Zed is not among the people of this job."),
        ({"taken_by": ENGINEER.upper()}, f"{ENGINEER} cannot take down the own word."),
        ({"way": "by pigeon"}, "Nobody may close a failed item by pigeon."),
    ],
)
def test_a_letter_has_a_reference_a_date_and_who_took_it_down(
    lacks: dict[str, object], title: str
) -> None:
    job = job_of(WITH_ENGINEER)
    assert isinstance(judge("accept", LETTER, job), JudgedWord)
    found = judge("accept", evolve(LETTER, **lacks), job)
    assert isinstance(found, Refusal)
    assert found.title == title


@pytest.mark.parametrize(
    ("lacks", "title"),
    [
        ({"at": None}, "No time of the call given."),
        ({"taken_by": ""}, "Nobody named who took it down."),
    ],
)
def test_a_call_has_a_time_and_who_took_it_down(lacks: dict[str, object], title: str) -> None:
    job = job_of(WITH_ENGINEER)
    assert isinstance(judge("accept", CALL, job), JudgedWord)
    found = judge("accept", evolve(CALL, **lacks), job)
    assert isinstance(found, Refusal)
    assert found.title == title


def test_who_takes_a_word_down_signs_for_it() -> None:
    """The engineer who is not there cannot type a PIN; who took the call can."""
    job = with_pin(with_pin(job_of(WITH_ENGINEER), ENGINEER, "111111"), FOREMAN)
    assert (CALL.signer, Word(of=ENGINEER).signer) == (FOREMAN, ENGINEER)
    assert isinstance(judge("accept", evolve(CALL, pin="111111"), job), WrongPin)
    assert isinstance(judge("accept", evolve(CALL, pin="4711"), job), JudgedWord)


# The acts.


@pytest.fixture
def failed(tmp_path: Path) -> Crew:
    """A panel of which an ordinary item, a critical one and an anchor count have failed."""
    one = crew(tmp_path, WITH_ENGINEER)
    one.answer("drawing.base-end", "turned end for end")
    one.answer("drawing.mark", "P9")
    return one


def test_a_failed_item_is_closed_by_somebody_in_charge_who_did_not_do_it(failed: Crew) -> None:
    key = "drawing.base-end"
    assert "hand, not foreman" in refused(acts.follow_up(failed.walk, key, "fine", HAND)).title
    assert "Ada Reed answered" in refused(acts.follow_up(failed.walk, key, "fine", FOREMAN)).title
    assert "No action" in refused(acts.follow_up(failed.walk, key, " ", CHECKER)).title
    entry = failed.do(acts.follow_up(failed.walk, key, "fine", CHECKER))
    assert entry.data["word"] == {"of": CHECKER, "role": "supervisor", "way": "here"}


def test_a_failed_critical_item_is_accepted_by_the_engineer_alone(failed: Crew) -> None:
    for name in (FOREMAN, HAND, CHECKER):
        act = acts.follow_up(failed.walk, "drawing.mark", "accepted by the engineer", name)
        assert "critical" in refused(act).title
    entry = failed.do(
        acts.follow_up(failed.walk, "drawing.mark", "old mark, same panel", FOREMAN, word=CALL)
    )
    assert (entry.by, entry.data["signed_in"]) == (ENGINEER, FOREMAN)
    assert entry.data["action"] == "looked at the photos", "the reason of the word counts"
    assert entry.data["word"] == {
        "of": ENGINEER, "role": "engineer", "way": "phone", "at": "2026-03-02T14:05:00+00:00",
        "taken_by": FOREMAN,
    }  # fmt: skip


def test_a_failed_anchor_is_the_engineers_too(tmp_path: Path) -> None:
    one = crew(tmp_path, WITH_ENGINEER)
    one.go_to("cast-ins")
    key = "cast-ins.anchors/base"
    while one.item(key).locked_by is None and one.item(key).verdict is None:
        one.answer(key, "1")
    assert one.item(key).verdict == "fail"
    assert not one.item(key).critical, "the table names it"
    assert "critical" in refused(acts.follow_up(one.walk, key, "will do", CHECKER)).title
    one.do(acts.follow_up(one.walk, key, "drilled afterwards, note 3", ENGINEER))


def test_a_critical_item_is_dropped_by_somebody_in_charge(failed: Crew) -> None:
    key = "drawing.rev"
    assert failed.item(key).critical
    assert "does not apply" in refused(acts.not_applicable(failed.walk, key, "none", HAND)).title
    entry = failed.do(acts.not_applicable(failed.walk, key, "none on this drawing", FOREMAN))
    assert entry.data["word"]["role"] == "foreman"


def test_a_size_that_leaves_errors_is_the_engineers(tmp_path: Path) -> None:
    one = crew(tmp_path, WITH_ENGINEER)
    wide = one.desk.resize("A", 2, width=Decimal(3100))
    narrow = one.desk.resize("A", 2, width=Decimal(2900))
    assert not isinstance(wide, Refusal)
    assert not isinstance(narrow, Refusal)
    for change, name in ((wide, FOREMAN), (wide, CHECKER), (narrow, HAND)):
        refused(one.desk.revise(change, by=name, reason="rev C"))
    one.do(one.desk.revise(narrow, by=FOREMAN, reason="rev C"))
    one.do(one.desk.undo(FOREMAN, "a slip"))
    entry = one.do(one.desk.revise(wide, by=FOREMAN, reason="", word=LETTER))
    assert entry.by == ENGINEER
    assert entry.data["word"]["reference"] == "RFI 12"


@pytest.mark.parametrize("text", [HAND, f"{HAND}, it is fine", f"  {HAND.upper()}: fine"])
def test_a_hand_lets_no_load_in(tmp_path: Path, text: str) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="D-1", mix="N40/20", batched="now", volume="6", temperature="36")
    act = load(one, 1, begun="now", let_in=text)
    assert f"{HAND} may not let in a load" in refused(act).title
    assert "hand, not foreman" in refused(load(one, 1, by=HAND, begun="now", let_in="fine")).title


def test_a_load_is_let_in_with_a_reason(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="D-1", mix="N40/20", batched="now", volume="6", temperature="36")
    for text in (FOREMAN, f"{FOREMAN} - "):
        assert "No reason" in refused(load(one, 1, by=HAND, begun="now", let_in=text)).title
    entry = do(one, 1, begun="now", let_in=f"{CHECKER}: retarder in it")
    assert entry.data["values"]["let_in"] == f"{CHECKER}, retarder in it"
    assert entry.data["word"] == {"of": CHECKER, "role": "supervisor", "way": "here"}
    assert any(f"Let in by {CHECKER}, retarder in it." in one.message for one in page(one).findings)


def test_a_text_that_names_nobody_is_the_reason_of_who_writes(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="D-1", mix="N40/20", batched="now", volume="6", temperature="36")
    entry = do(one, 1, begun="now", let_in=f"{FOREMAN}s man tested it")
    assert entry.data["values"]["let_in"] == f"{FOREMAN}, {FOREMAN}s man tested it"


def test_a_load_is_let_in_on_a_word_by_phone(tmp_path: Path) -> None:
    from pourdeck.walk.pour_acts import write_load

    one = begun(
        tmp_path,
        POUR_JOB.replace(KIT, f'[[person]]\nname = "{ENGINEER}"\nrole = "engineer"\n{KIT}', 1),
    )
    do(one, 1, docket="D-1", mix="N40/20", batched="now", volume="6", temperature="36")
    act = write_load(one.walk, 1, {"begun": "now"}, HAND, one.clock.at, word=CALL)
    entry = one.do(act)
    assert entry.by == HAND, "who wrote the load down"
    assert entry.data["values"]["let_in"] == f"{ENGINEER}, looked at the photos"
    assert entry.data["word"]["taken_by"] == FOREMAN


def test_a_hold_is_passed_and_closed_by_two_people_in_charge(tmp_path: Path) -> None:
    one = crew(tmp_path, WITH_ENGINEER)
    assert "hand" in refused(acts.pass_unreleased(one.walk, "drawing", "rain", HAND)).title
    passed = one.do(acts.pass_unreleased(one.walk, "drawing", "rain", FOREMAN))
    for name, says in ((HAND, "hand, not"), (FOREMAN, "passed the hold unreleased")):
        act = acts.close_nonconformance(one.walk, "shed", passed.n, "looked", name)
        assert says in refused(act).title
    one.do(acts.close_nonconformance(one.walk, "shed", passed.n, "looked", CHECKER))


# What people read of it.


def test_the_record_and_the_log_name_the_word(tmp_path: Path) -> None:
    two = on_second(tmp_path, WITH_ENGINEER)
    one = Crew(two.desk, two.clock)
    one.do(as_cast(one.walk, {"width_base": Decimal(3012)}, FOREMAN, "taped again"))
    old = acts.dispose(one.walk, "close.width/base", "use-as-is", "", HAND, word=LETTER)
    assert "is before width, base side was measured" in refused(old).title
    later = evolve(LETTER, at=one.clock.at)
    entry = one.do(acts.dispose(one.walk, "close.width/base", "use-as-is", "", HAND, word=later))
    words = f"{ENGINEER}, engineer, in writing 2026-03-03, RFI 12, taken down by {FOREMAN}, signed in: {HAND}"
    assert diary_line(entry).endswith(f"looked at the photos; word: {words}")
    record = record_bytes(one.walk).decode()
    assert f'disposition_word = "{words}"' in record
    assert f'word = "{CHECKER}, supervisor, here"' in record, "of the releases"


# A job may ask for more, never for less.


def words_of(text: str) -> Job:
    return job_of(WITH_ENGINEER.replace(KIT, f"{text}\n{KIT}", 1))


def test_a_job_may_ask_for_more() -> None:
    job = words_of('[[word]]\nact = "let-in"\nroles = ["engineer"]\nways = ["here", "writing"]')
    assert job.words == (JobWord(act="let-in", roles=("engineer",), ways=("here", "writing")),)
    assert isinstance(judge("let-in", Word(of=FOREMAN, reason="why"), job), Refusal)
    assert isinstance(judge("let-in", CALL, job), Refusal)
    assert isinstance(judge("let-in", LETTER, job), JudgedWord)
    assert isinstance(judge("accept", CALL, job), JudgedWord)


def test_a_group_is_tightened_as_one() -> None:
    job = words_of('[[word]]\nact = "release"\nroles = ["engineer"]')
    for act in ACTS:
        if act.startswith("release."):
            assert rule_of(job, act).roles == ("engineer",)
            assert rule_of(job, act).ways == built_in()[act].ways
    assert rule_of(job, "lift-release") == built_in()["lift-release"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('act = "let-in"\nroles = ["engineer", "hand"]',
         '[[word]] 1: value 2 of roles is "hand"; it takes for let-in only foreman or supervisor or '
         "engineer. A job may ask for more"),
        ('act = "lift-release"\nways = ["phone"]', 'it takes for lift-release only here or writing'),
        ('act = "release"\nroles = ["hand"]', "for release only foreman or supervisor or engineer"),
        ('act = "let-inn"', 'act is "let-inn"; it takes one of release,'),
        ('act = "let-inn"', 'The nearest is "let-in".'),
        ('act = "let-in"\nroles = []', "roles is an empty list"),
        ('act = "let-in"\nrole = ["engineer"]', "unknown key role"),
        ('act = "release"\n[[word]]\nact = "release.pour"',
         '[[word]] 2: act is "release.pour"; it takes an act that no'),
        ('act = "let-in"\n[[word]]\nact = "let-in"', "[[word]] 2: act is"),
    ],
)  # fmt: skip
def test_less_is_a_fault_of_the_job(text: str, says: str) -> None:
    with pytest.raises(JobFaulty) as faulty:
        words_of(f"[[word]]\n{text}")
    (found,) = faulty.value.findings
    assert says in found.message
    assert found.line is not None


def test_a_closed_panel_asks_what_the_job_asks_now(tmp_path: Path) -> None:
    two = on_second(tmp_path, WITH_ENGINEER)
    two.desk.close()
    text = WITH_ENGINEER.replace(
        KIT, f'[[word]]\nact = "disposition.rework"\nroles = ["engineer"]\n{KIT}', 1
    )
    desk = open_desk(tmp_path, text, two.clock)
    one = Crew(desk, two.clock)
    one.do(as_cast(one.walk, {"width_base": Decimal(3012)}, FOREMAN, "taped again"))
    act = acts.dispose(one.walk, "close.width/base", "rework", "grind", CHECKER)
    assert "supervisor, not engineer" in refused(act).title


# PINs.


@pytest.mark.parametrize("digits", ["", "123", "123456789", "12a4", "１２３４", "12 34", "-123"])
def test_a_pin_has_four_to_eight_digits(digits: str) -> None:
    found = set_pin(job_of(), FOREMAN, digits, digits, SALT)
    assert refused(found).title == "That is no PIN."


@pytest.mark.parametrize("digits", ["0000", "12345678"])
def test_the_digits_are_never_in_the_log(tmp_path: Path, digits: str) -> None:
    one = crew(tmp_path)
    one.do(set_pin(one.desk.job, FOREMAN, digits, digits, SALT))
    assert digits.encode() not in (tmp_path / "job" / "log" / "shed.jsonl").read_bytes().replace(
        b"0" * 64, b""
    )


def test_a_pin_stands_for_whoever_opens_the_job_next_and_is_changed_with_the_old_one(
    tmp_path: Path,
) -> None:
    one = crew(tmp_path)
    assert "not the same" in refused(set_pin(one.desk.job, FOREMAN, "4711", "4712", SALT)).title
    one.do(set_pin(one.desk.job, FOREMAN, "4711", "4711", SALT))
    one.desk.close()
    desk = open_desk(tmp_path, clock=one.clock)
    assert desk.state.unknown == []
    word = Word(of=FOREMAN, reason="why")
    assert isinstance(judge("let-in", word, desk.job), Refusal)
    assert isinstance(judge("let-in", evolve(word, pin="4711"), desk.job), JudgedWord)
    assert isinstance(set_pin(desk.job, FOREMAN, "8888", "8888", SALT), Refusal)
    assert isinstance(set_pin(desk.job, FOREMAN, "8888", "8888", SALT, old="1111"), WrongPin)
    act = set_pin(desk.job, FOREMAN, "8888", "8888", SALT[::-1], old="4711")
    assert isinstance(act, Act)
    desk.record(act)
    assert isinstance(judge("let-in", evolve(word, pin="4711"), desk.job), WrongPin)
    assert isinstance(judge("let-in", evolve(word, pin="8888"), desk.job), JudgedWord)


def test_the_hash_is_that_of_the_standard() -> None:
    """RFC 7914, section 12, the second vector: scrypt("password", "NaCl", N 1024, r 8, p 16)."""
    import hashlib

    raw = hashlib.scrypt(b"password", salt=b"NaCl", n=1024, r=8, p=16, maxmem=2**26, dklen=64)
    assert raw.hex().startswith("fdbabe1c9d3472007856e7190d01e9fe7c6ad7cbc8237830e77376634b373162")


@pytest.mark.parametrize(
    "change",
    [
        {"n": 2**30},
        {"n": 1000},
        {"r": 64},
        {"p": 0},
        {"salt": "zz"},
        {"hash": ""},
        {"n": True},
        {"person": 7},
    ],
)
def test_a_pin_that_would_take_long_or_is_none_counts_for_nothing(
    change: dict[str, object],
) -> None:
    act = set_pin(job_of(), FOREMAN, "4711", "4711", SALT)
    assert isinstance(act, Act)
    state = replay([entry_of(evolve(act, data={**act.data, **change}))])
    assert (state.pins, len(state.unknown)) == ({}, 1)


def test_after_three_wrong_pins_a_minute_is_waited() -> None:
    now = [0.0]
    tries = PinTries(lambda: now[0])
    wrong = WrongPin(title="", body="")
    for _ in range(TRIES - 1):
        tries.tried(FOREMAN, wrong)
    tries.tried(FOREMAN, Refusal(title="No reason given.", body=""))
    assert tries.waiting(FOREMAN) is None
    tries.tried(FOREMAN.upper(), wrong)
    assert (
        "Wait 60 s" in refused(tries.waiting(FOREMAN)).body
        or "Wait 61 s" in refused(tries.waiting(FOREMAN)).body
    )  # type: ignore[arg-type]
    assert tries.waiting(CHECKER) is None
    now[0] = 59.5
    assert tries.waiting(FOREMAN) is not None
    now[0] = 60.0
    assert tries.waiting(FOREMAN) is None


def test_a_right_pin_clears_the_count() -> None:
    tries = PinTries(lambda: 0.0)
    wrong = WrongPin(title="", body="")
    for _ in range(3):
        tries.tried(FOREMAN, wrong)
        tries.tried(FOREMAN, wrong)
        tries.tried(FOREMAN, JudgedWord(name=FOREMAN, role="foreman", reason="", data={}))
    assert tries.waiting(FOREMAN) is None


# People added on site.


def test_a_hand_is_added_and_counts_from_then_on(tmp_path: Path) -> None:
    one = crew(tmp_path)
    assert isinstance(acts.answer(one.walk, "drawing.mark", "P1", "Fay Orr", one.clock.at), Refusal)
    entry = one.do(add_person(one.desk.job, " Fay  Orr ", "Hand", FOREMAN))
    assert (entry.kind, entry.by, entry.data) == (
        "person", FOREMAN, {"name": "Fay Orr", "role": "hand"},
    )  # fmt: skip
    assert diary_line(entry) == "Fay Orr added as hand"
    one.answer("drawing.mark", "P1", "fay orr")
    assert one.item("drawing.mark").by == "Fay Orr"
    assert (
        "hand, not" in refused(acts.pass_unreleased(one.walk, "drawing", "rain", "Fay Orr")).title
    )
    one.desk.close()
    desk = open_desk(tmp_path, clock=one.clock)
    assert desk.job.people[-1] == Person(name="Fay Orr", role="hand")
    assert desk.state.unknown == []


@pytest.mark.parametrize(
    ("name", "role", "by", "says"),
    [
        ("Fay Orr", "engineer", FOREMAN, "Nobody is added here as engineer."),
        ("Fay Orr", "supervisor", FOREMAN, "Nobody is added here as supervisor."),
        ("Fay Orr", "foreman", FOREMAN, "Nobody is added here as foreman."),
        ("Fay Orr", "surveyor", FOREMAN, "Nobody is added here as surveyor."),
        ("Fay Orr", "driver", FOREMAN, "driver is no role."),
        ("Fay Orr", "hand", "Zed", "Zed is not among the people"),
        (" ", "hand", FOREMAN, "No name given."),
        ("..", "hand", FOREMAN, "No name given."),
        ("x" * 81, "hand", FOREMAN, "81 characters"),
        ("ADA REED", "hand", FOREMAN, "Ada Reed is among the people"),
        ("A.d.a Réed", "hand", FOREMAN, "Ada Reed is among the people"),
    ],
)
def test_who_is_not_added(name: str, role: str, by: str, says: str) -> None:
    assert says in refused(add_person(job_of(), name, role, by)).title


def test_an_engineer_in_the_log_is_none() -> None:
    forged = Act(kind="person", by=FOREMAN, data={"name": "Fay Orr", "role": "engineer"}, says="")
    state = replay([entry_of(forged)])
    assert (state.people, len(state.unknown)) == ([], 1)


def test_who_job_toml_names_stays_what_it_says() -> None:
    from pourdeck.walk.words import with_people

    forged = Act(kind="person", by=FOREMAN, data={"name": "ada reed", "role": "hand"}, says="")
    state = replay([entry_of(forged)])
    job = with_people(job_of(), state)
    assert job.people == job_of().people


def test_undo_leaves_people_and_pins_alone(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.answer("drawing.mark", "P1")
    one.do(add_person(one.desk.job, "Fay Orr", "tester", FOREMAN))
    one.do(set_pin(one.desk.job, "Fay Orr", "4711", "4711", SALT))
    one.do(one.desk.undo(FOREMAN, "a slip"))
    assert one.item("drawing.mark").own_state == "open"
    assert [person.name for person in one.desk.job.people][-1] == "Fay Orr"
    assert one.desk.job.people[-1].pin is not None


# Who is there now.


@pytest.mark.parametrize(
    ("gone", "asks"),
    [
        (timedelta(0), False), (timedelta(hours=3, minutes=59), False), (timedelta(hours=4), True),
        (timedelta(minutes=-1), True),
    ],
)  # fmt: skip
def test_after_four_hours_the_deck_asks(gone: timedelta, asks: bool) -> None:
    noon = datetime(2026, 3, 2, 12, tzinfo=UTC)
    assert ask_again(noon, noon + gone) is asks


def test_on_another_day_of_the_site_it_asks_too() -> None:
    from zoneinfo import ZoneInfo

    hobart = ZoneInfo("Australia/Hobart")
    late = datetime(2026, 3, 2, 23, 50, tzinfo=hobart)
    assert ask_again(late, late + timedelta(minutes=20))
    assert not ask_again(late.astimezone(UTC), late + timedelta(minutes=5))
    assert ask_again(None, late)


@pytest.mark.parametrize("by", [FOREMAN, CHECKER])
def test_a_bracket_on_a_damaged_anchor_is_accepted_by_the_engineer_alone(
    tmp_path: Path, by: str
) -> None:
    """The foreman alone once closed one as "accepted by the engineer"."""
    two = on_second(tmp_path, WITH_ENGINEER)
    two.go_to("brackets")
    key = next(item.key for item in two.walk.items() if item.key.startswith("brackets.hung/"))
    two.answer(key, "thread damaged", HAND)
    act = acts.follow_up(two.walk, key, "accepted by the engineer", by)
    assert isinstance(act, Refusal)
    assert "not engineer" in act.title
    assert isinstance(acts.follow_up(two.walk, key, "note 15", ENGINEER), Act)
