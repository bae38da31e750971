"""The plan of the areas, where the site draws one."""

from builder.pages.blocks import Block, Drawing
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import inlines, listed, para


def plan_of_areas(book: HandbookContext, how: str) -> tuple[Block, ...]:
    """The plan, and which areas it does not show; nothing where the site draws none.

    :param how: how somebody gets from the plan to an area.
    """
    plan = book.program.plan
    if plan is None:
        return ()
    names = {area.id: area.name for area in book.program.areas.values()}
    missing = [inlines(name) for area, name in names.items() if area not in plan.areas]
    drawn = Drawing("Plan of the areas", f"{how} Not to scale.", plan, names)
    return (drawn, *((para("Not on the plan: ", listed(missing), "."),) if missing else ()))
