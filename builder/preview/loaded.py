"""What every round of a preview needs, loaded once by the process that rounds are forked from."""

from contextlib import suppress

import builder.building
import builder.publish.unchanged
import builder.render.joining
import builder.render.scripts
import builder.render.site
import builder.render.spoken  # noqa: F401 - imported to be there
from builder.base.errors import RenderError
from builder.base.where import Where
from builder.findings.order import all_rules
from builder.load.markdown import readable_prose
from builder.pages.cards.composers import composers
from builder.reference.library import library
from builder.render.pdf import preload
from builder.render.templates import environment

with suppress(RenderError):  # the round says it, where a reader sees it
    preload()
all_rules(), composers(), library(), environment(), readable_prose("Words.", Where("", 1))
