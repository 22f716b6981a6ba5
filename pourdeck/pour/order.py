"""Concrete to order: volume with waste, rounded up to what is sold, in loads. m³, exact."""

from decimal import ROUND_CEILING, Decimal

from pourdeck.plan.records import Mix


def rounded_up(volume: Decimal, step: Decimal) -> Decimal:
    """The least whole number of steps that is not below the volume."""
    return (volume / step).to_integral_value(ROUND_CEILING) * step


def to_order(volume: Decimal, mix: Mix) -> Decimal:
    """volume × (1 + waste), rounded up to `order_step`: a short order cannot be put right."""
    return rounded_up(volume * (1 + (mix.waste or Decimal(0))), mix.order_step)


def loads(order: Decimal, mix: Mix) -> tuple[Decimal, ...]:
    """Full trucks, what is left last; () where no truck is given.

    What is left under `least_load` is shared with the truck before it, equally, in order steps, the larger
    first.
    """
    if mix.truck is None or order <= 0:
        return ()
    full, rest = divmod(order, mix.truck)
    whole = [mix.truck] * int(full)
    if rest <= 0:
        return tuple(whole)
    if rest >= mix.least_load or not whole:
        return (*whole, rest)
    both = mix.truck + rest
    larger = min(rounded_up(both / 2, mix.order_step), mix.truck)
    return (*whole[:-1], larger, both - larger)
