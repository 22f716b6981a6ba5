"""The template: what it may hold, and how its wording must read."""

import re

import pytest

from pourdeck.walk.expand import EACH
from pourdeck.walk.steps import CONDITIONS, STEPS, Section, Step, read_template, template
from pourdeck.walk.targets import TARGETS, TOLERANCES

SECTIONS = template().sections
ITEMS = [step for section in SECTIONS for step in section.steps]


def named(step: Step) -> str:
    return step.key


def test_sections_stand_in_the_order_of_the_walk() -> None:
    assert [section.id for section in SECTIONS] == [
        "drawing", "strip", "surface", "brackets", "height", "forms", "cast-ins", "ready", "pour",
        "finish", "close",
    ]  # fmt: skip
    assert [section.number for section in SECTIONS] == list(range(1, 12))


def test_holds_cover_every_section_before_the_pour_once() -> None:
    holds = {hold.id: hold.covers for hold in template().holds}
    assert holds == {
        "drawing": ("drawing",),
        "as-cast-below": ("strip",),
        "surface": ("surface",),
        "set-out": ("brackets", "height", "forms"),
        "pour": ("cast-ins", "ready"),
    }


@pytest.mark.parametrize("section", SECTIONS, ids=lambda section: section.id)
def test_a_section_is_short_and_named(section: Section) -> None:
    """At most 9 items, a name of at most 30 characters, a place; and a mode.

    Short lists by place and phase: Degani and Wiener, Human factors of flight-deck checklists, NASA
    CR-177549 (1990), from memory; the figures are ours."""
    assert 1 <= len(section.steps) <= 9
    assert 0 < len(section.name) <= 30
    assert section.place
    assert section.mode in ("do-confirm", "read-do")


@pytest.mark.parametrize("section", SECTIONS, ids=lambda section: section.id)
def test_critical_items_stand_early(section: Section) -> None:
    """None after more than two others, unless the template says why."""
    ordinary = 0
    for step in section.steps:
        if step.critical and not step.order_reason:
            assert ordinary <= 2, step.key
        ordinary += not step.critical


def test_no_item_is_a_bare_tick() -> None:
    """Every choice has at least two states that were observed."""
    for step in ITEMS:
        if step.answer == "choice" and not step.choices_from:
            assert len(step.choices) >= 2, step.key


@pytest.mark.parametrize("step", ITEMS, ids=named)
def test_a_prompt_reads_well(step: Step) -> None:
    """At most 60 characters, sentence case, no negative question, nothing shouted."""
    prompt = step.prompt
    assert len(prompt) <= 60
    assert prompt[0].isupper()
    assert not prompt.endswith(".")
    assert "?" not in prompt
    assert not re.search(r"\b(not|no|never|\w+n't)\b", prompt, re.IGNORECASE)
    assert not re.search(r"\b[A-Z]{4,}\b", prompt)
    assert step.why.endswith(".")
    assert "\n" not in step.why


@pytest.mark.parametrize("step", ITEMS, ids=named)
def test_an_item_has_a_short_name_for_lists(step: Step) -> None:
    assert 0 < len(step.name) <= 18
    assert step.name == step.name.strip()
    assert step.name[0].islower()


@pytest.mark.parametrize("step", ITEMS, ids=named)
def test_an_item_names_only_what_is_known(step: Step) -> None:
    assert step.each in EACH
    assert set(step.when) <= CONDITIONS.keys()
    assert step.expected is None or step.expected in TARGETS
    assert step.tolerance is None or step.tolerance in TOLERANCES
    assert set(step.good) <= set(step.choices)
    if step.answer == "choice":
        assert step.good or step.expected, "something must pass"
    if step.answer == "measure":
        assert step.unit


def test_ids_are_unique_and_fit_a_key() -> None:
    keys = [step.key for step in ITEMS]
    assert len(keys) == len(set(keys))
    assert all(re.fullmatch(r"[a-z-]+\.[a-z0-9-]+", key) for key in keys)
    assert not any(step.id.startswith("own-") for step in ITEMS)


def test_conditions_of_sections_are_known() -> None:
    for section in SECTIONS:
        assert set(section.when) <= CONDITIONS.keys()


def test_every_condition_target_and_tolerance_is_used() -> None:
    whens = [*(step.when for step in ITEMS), *(section.when for section in SECTIONS)]
    assert {one for when in whens for one in when} == CONDITIONS.keys()
    assert {step.expected for step in ITEMS if step.expected} == TARGETS.keys()
    assert {step.tolerance for step in ITEMS if step.tolerance} == TOLERANCES.keys()
    assert {step.each for step in ITEMS} == EACH.keys()


def test_the_template_can_be_told_by_its_digest() -> None:
    """Version, date, author, and a digest that any change of wording moves."""
    raw = STEPS.read_bytes()
    one = read_template(raw)
    assert one.version
    assert one.date
    assert one.author
    assert one.digest == template().digest
    assert read_template(raw.replace(b"\n", b"\r\n")).digest == one.digest
    assert read_template(raw.replace(b"forms off", b"Forms off")).digest != one.digest


def test_a_step_is_found_by_the_key_of_any_of_its_items() -> None:
    assert template().step("forms.offset/right-4") is template().step("forms.offset")
    assert template().step("forms.offset") is not None
    assert template().step("forms.nothing/right-4") is None
    assert template().section("nothing") is None
