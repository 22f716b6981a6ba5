"""The sums behind heights: planned, measured and to expect, and the staff readings that set them."""

from decimal import Decimal

from pourdeck.plan.records import Stack
from pourdeck.setout.record import SetOut
from pourdeck.setout.sum_record import Input, Sum, bed_input, size_input


def height_below_sum(setout: SetOut, stack: Stack) -> Sum:
    """Planned height of the surface the panel stands on. m."""
    title = f"RL below {setout.mark}, planned"
    return _planned(title, stack, setout.number - 1, setout.heights.below)


def height_sum(setout: SetOut, stack: Stack) -> Sum:
    """Planned height of the top of the panel."""
    title = f"RL of the top of {setout.mark}, planned"
    return _planned(title, stack, setout.number, setout.heights.top)


def _planned(title: str, stack: Stack, panels: int, result: Decimal) -> Sum:
    """The height over so many panels from the bed."""
    sizes = (size_input(panel, "thickness") for panel in stack.panels[:panels])
    return Sum(
        title=title,
        formula="bed RL + Σ thickness / 1000",
        inputs=(bed_input(stack), *sizes),
        result=result,
        unit="m",
    )


def measured_below_sum(setout: SetOut) -> Sum | None:
    """The surface the panel stands on as it was measured; None where it was not. m."""
    measured = setout.heights.measured_below
    if measured is None or setout.below is None:
        return None
    return Sum(
        title=f"Surface of {setout.below.mark}, measured",
        formula="mean of the corners that were read",
        inputs=(
            Input(name="planned", value=setout.heights.below, unit="m", source="bed and thickness"),
        ),
        result=measured,
        unit="m",
        rounding="the corners are in the record of that panel",
    )


def expected_height_sum(setout: SetOut) -> Sum | None:
    """Expected height of the top from the measured surface below; None where it was not measured."""
    heights = setout.heights
    if heights.measured_below is None or heights.expected_top is None or setout.below is None:
        return None
    return Sum(
        title=f"RL of the top of {setout.mark}, from the measured surface",
        formula="measured RL + form depth / 1000",
        inputs=(
            Input(
                name=f"surface of {setout.below.mark}",
                value=heights.measured_below,
                unit="m",
                source="mean of the corners read, site log",
            ),
            size_input(setout.panel, "thickness"),
        ),
        result=heights.expected_top,
        unit="m",
    )


def reading_sum(mark: str, instrument: Decimal, wanted: Decimal, where: str) -> Sum:
    """The staff reading that sets a surface at a height: HI − RL. m."""
    return Sum(
        title=f"Staff reading for {mark}, {where}",
        formula="height of instrument − RL wanted",
        inputs=(
            Input(
                name="height of instrument",
                value=instrument,
                unit="m",
                source="benchmark RL + backsight",
            ),
            Input(name="RL wanted", value=wanted, unit="m", source=f"top of {mark}"),
        ),
        result=instrument - wanted,
        unit="m",
    )
