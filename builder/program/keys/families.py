"""Every family of figures, once: what their keys look like, what they are, in which unit.

Whoever asks for a figure or makes one calls its family: ``SETPOINT(area="wet-well", channel="oxygen", alarm="low")``.
``docs/keys.md`` is written from this module by ``python -m builder.program.keys docs/keys.md``.
"""

from builder.program.keys.family import Family

SITE_PRESSURE = Family("site.pressure", "kPa", "air pressure that all site conversions use")
SITE_TEMPERATURE = Family("site.temperature", "°C", "temperature that all site conversions use")
SITE_MOLAR_VOLUME = Family("site.molar-volume", "L/mol", "molar volume of a gas at the two")
SITE_ALTITUDE = Family("site.altitude", "m", "as stated")
SITE_SHIFT = Family("site.shift", "h", "longest shift")
SITE_GAS_LEAD_TIME = Family("site.gas-lead-time", "days", "longest time that an order of check gas takes")
SITE_SETTINGS_READ_EVERY = Family(
    "site.settings-read-every", "interval", "how old a reading of a unit's settings may be"
)
SITE_SETTINGS_READ = Family(
    "site.settings-read", "%", "share of units in use whose settings were read back within that time, with n"
)
SITE_LONG_SHIFT_FACTOR = Family("site.long-shift-factor", "none", "reduction of 8-hour limits for a longer turn")
REFERENCE_PRESSURE = Family("reference.pressure", "kPa", "air pressure that exposure limits are converted at")
REFERENCE_TEMPERATURE = Family("reference.temperature", "°C", "temperature they are converted at")
REFERENCE_MOLAR_VOLUME = Family("reference.molar-volume", "L/mol", "molar volume of a gas at the two")
AS_OF = Family("handbook.as-of", "date", "the day everything due is judged on")
DOCUMENT_REVIEWED = Family("document.reviewed", "date", "last review of the handbook")
DOCUMENT_REVIEW_DUE = Family("document.review-due", "date", "last day of its review")
DOCUMENT_REVIEW_EVERY = Family("document.review-every", "interval", "how often it is reviewed")
DOCUMENT_CARDS_VALID_FOR = Family("document.cards-valid-for", "interval", "how long a printed card holds")
SETPOINTS_REVIEWED = Family("setpoints.reviewed", "date", "the setpoints' own review, where the site has one")
SETPOINTS_REVIEW_DUE = Family("setpoints.review-due", "date", "last day of that review")
SETTINGS_CODE_CHANGED = Family("settings.code-changed", "date", "day on which the access code was changed")
SETTINGS_CODE_DUE = Family("settings.code-due", "date", "last day until which that code stays")
SETPOINTS_REVIEW_EVERY = Family("setpoints.review-every", "interval", "how often they are reviewed")
PROCEDURE_REVIEWED = Family("procedure.<procedure>.reviewed", "date", "last review of a procedure")
PROCEDURE_REVIEW_DUE = Family("procedure.<procedure>.review-due", "date", "last day of its review")
PROCEDURE_REVIEW_EVERY = Family("procedure.<procedure>.review-every", "interval", "how often it is reviewed")
CARD_ISSUED = Family("card.issued", "date", "day from which cards of this edition count")
CARD_VALID_UNTIL = Family("card.<card>.valid-until", "date", "last day of a printed card")
REVISION_EFFECTIVE = Family("revision.<revision>.effective", "date", "day from which a revision holds")
RETENTION_KEEP = Family("retention.<entry>.keep", "interval", "how long the site keeps these records")
RETENTION_MINIMUM = Family("retention.minimum.<entry>", "interval", "published minimum")

# ---- gases ---------------------------------------------------------------------------
GAS_MOLAR_MASS = Family("gas.<gas>.molar-mass", "g/mol", "from the formula")
GAS_DENSITY = Family("gas.<gas>.density-to-air", "none", "density relative to air")
GAS_IONISATION_ENERGY = Family("gas.<gas>.ionisation-energy", "eV", "as published")
GAS_MASS_PER_PPM = Family("gas.<gas>.mg-m3-per-ppm", "mg/m³", "mass of 1 ppm at the reference conditions")
GAS_LEL = Family("gas.<gas>.lel", "%vol", "lower explosive limit, on the site's basis")
GAS_UEL = Family("gas.<gas>.uel", "%vol", "upper explosive limit, on the site's basis")
GAS_BOUND_PPM = Family("gas.<gas>.<bound>.ppm", "ppm", "the same in parts per million")
GAS_BOUND_MASS = Family("gas.<gas>.<bound>.g-m3", "g/m³", "the same in mass, at site conditions")
GAS_BOUND_IN_TABLE = Family("gas.<gas>.<bound>.<basis>", "%vol", "as each table prints it")
GAS_LEL_IN_HEAT = Family(
    "gas.<gas>.lel.at-temperature.<area>", "%vol", "lower explosive limit of a paraffin in an area above 25 °C"
)
EXPOSURE_LIMIT = Family("gas.<gas>.limit.<list>.<kind>", "ppm", "exposure limit as the list has it")
EXPOSURE_LIMIT_MASS = Family("gas.<gas>.limit.<list>.<kind>.mg-m3", "mg/m³", "the same in mass")
EXPOSURE_LIMIT_LONG_SHIFT = Family(
    "gas.<gas>.limit.<list>.<kind>.long-shift",
    "ppm",
    "8-hour limit lowered for a longer turn, where the site chose it; never decides a stop",
)
GAS_VAPOUR_PRESSURE = Family("gas.<gas>.vapour-pressure", "kPa", "of a liquid, at the site's temperature")
GAS_HIGHEST_VAPOUR = Family("gas.<gas>.highest-vapour", "%vol", "most vapour in still air over it")
GAS_REACHABLE_LEL = Family("gas.<gas>.reachable-lel", "%LEL", "the same as a share of its explosive limit")

# ---- areas ---------------------------------------------------------------------------
AREA_DEPTH = Family("area.<area>.depth", "m", "as stated")
AREA_HOSE = Family("area.<area>.hose", "m", "hose used there, as stated")
AREA_LOWEST_OXYGEN = Family("area.<area>.lowest-oxygen", "%vol", "lowest expected, as stated")
AREA_TEMPERATURE = Family("area.<area>.temperature", "°C", "as stated, where it is not the site's")
AREA_NOISE = Family("area.<area>.noise", "dB(A)", "as stated")
AREA_RESCUE_WITHIN = Family("area.<area>.rescue-within", "min", "as stated")
AREA_VAPOUR_PRESSURE = Family("area.<area>.<gas>.vapour-pressure", "kPa", "of a liquid, at the area's temperature")
AREA_HIGHEST_VAPOUR = Family("area.<area>.<gas>.highest-vapour", "%vol", "most vapour in still air over it")
AREA_REACHABLE_LEL = Family("area.<area>.<gas>.reachable-lel", "%LEL", "the same as a share of its explosive limit")
RULE = Family(
    "limit.<area>.<quantity>",
    "%LEL, %vol, ppm",
    "strictest rule there that keeps people out; where none does, the one by which an alarm sounds",
)
RULE_THAT_ASKS = Family("limit.<area>.<quantity>.<asks>", "%LEL, %vol, ppm", "strictest rule of another kind")
LEVELS_COUNT = Family("levels.<area>.count", "none", "levels to test from above")
LEVELS_TOTAL_TIME = Family("levels.<area>.total-time", "min", "time for all of them, at least")
HOSE_VOLUME = Family("hose.<area>.<model>.volume", "mL", "what the hose holds")
HOSE_TRANSIT = Family("hose.<area>.<model>.transit", "s", "gas through the hose, before any margin")
HOSE_DRAW_TIME = Family("hose.<area>.<model>.draw-time", "s", "gas through the hose")
HOSE_WAIT = Family("hose.<area>.<model>.wait", "s", "wait before reading")
HOSE_GAS_TIME = Family(
    "hose.<area>.<model>.<check>.gas-time", "s", "how long gas would have to flow at the end of the hose"
)
HOSE_ALARMS_WITHIN = Family(
    "hose.<area>.<model>.<check>.alarms-within", "s", "time within which alarms would have to sound there"
)
HOSE_DESCENT_SPEED = Family("hose.<area>.<model>.descent-speed", "m/min", "fastest way down behind the hose")

# ---- alarms and readings -------------------------------------------------------------
SETPOINT = Family(
    "setpoint.<area>.<channel>.<alarm>",
    "the channel's",
    "what the instrument is set to; of a hazard without a channel of its own, the channel that sees it",
)
SETPOINT_TRUE = Family(
    "setpoint.<area>.<gas>.<alarm>.true", "%LEL", "what is really there of a hazard when the flammable alarm sounds"
)
SETPOINT_VOLUME = Family("setpoint.<area>.<gas>.<alarm>.vol", "%vol", "the same by volume")
SETPOINT_VAPOUR = Family(
    "setpoint.<area>.<gas>.<alarm>.vapour", "ppm", "what is really there of a hazard when the vapour alarm sounds"
)
SETPOINT_PPM = Family(
    "setpoint.<area>.<gas>.<alarm>.on-<channel>",
    "ppm",
    "what is really there of a hazard when an alarm sounds that shows it as a share, by volume or as another gas",
)
SETPOINT_PROTECTS = Family(
    "setpoint.<area>.<channel>.<alarm>.protects", "ppm", "the exposure limit that alarm protects, as the list has it"
)
SETPOINT_MARGIN = Family(
    "setpoint.<area>.<channel>.<alarm>.margin",
    "the limit's",
    "how far the chosen value stands on the safe side of the limit it protects; below zero it stands beyond",
)
SETPOINT_AT_LIMIT = Family(
    "setpoint.<area>.<channel>.<alarm>.at-limit", "the channel's", "what the display shows when that limit is reached"
)
SETPOINT_ERROR_SHARE = Family(
    "setpoint.<area>.<channel>.<alarm>.error.relative",
    "the channel's",
    "part of the instrument's error there that is a share of the reading",
)
SETPOINT_ERROR = Family(
    "setpoint.<area>.<channel>.<alarm>.error",
    "the channel's",
    "how far a display may lie off there, by the largest error of the detectors allowed",
)
SETPOINT_LESS_ERROR = Family(
    "setpoint.<area>.<channel>.<alarm>.less-error",
    "the channel's",
    "last setting that keeps the limit with the instrument's error taken off; of too little oxygen added",
)
READING = Family("reading.at-<n>", "%LEL", "the displayed reading itself")
READING_TRUE = Family("reading.<area>.<gas>.at-<n>", "%LEL", "what is really there when the display shows it")
FACTOR = Family("response.<sensor>.<gas>.factor", "none", "multiply the reading by it")
FACTOR_IN_TABLE = Family(
    "response.<sensor>.<gas>.factor-in-table",
    "none",
    "where a table is relative to another gas than the display: the factor before it is re-based",
)
FACTOR_ON_SIMULANT = Family(
    "response.<sensor>.<gas>.on-simulant", "none", "factor of the gas shown, with the gas of the cylinder as reference"
)
MIXTURE_PART = Family(
    "mixture.<area>.<mixture>.<gas>.part", "%", "part by volume; of ranges, where the explosive limit is lowest"
)
MIXTURE_PART_FROM = Family("mixture.<area>.<mixture>.<gas>.from", "%", "least part, where a range is known")
MIXTURE_PART_TO = Family("mixture.<area>.<mixture>.<gas>.to", "%", "most of it")
MIXTURE_LEL_SHARE = Family("mixture.<area>.<mixture>.<gas>.lel-share", "%", "share in its explosive strength")
MIXTURE_LEL = Family("mixture.<area>.<mixture>.lel", "%vol", "explosive limit of the whole, on the site's basis")
MIXTURE_INERT = Family("mixture.<area>.<mixture>.inert", "%", "part of it that does not burn")
MIXTURE_FACTOR = Family(
    "mixture.<area>.<mixture>.<channel>.factor",
    "none",
    "multiply the reading by it: worst of the sensors allowed there",
)
MIXTURE_FACTOR_ON = Family("mixture.<area>.<mixture>.on-<sensor>.factor", "none", "the same on one of them")
MIXTURE_READING = Family(
    "mixture.<area>.<mixture>.at-<n>", "%LEL", "what is really there when the display shows n %LEL"
)
MIXTURE_EQUIVALENT_LIMIT = Family(
    "mixture.<area>.<mixture>.equivalent-limit",
    "ppm",
    "total at which the limits of the parts are used up together, by the strictest list with a value for every part",
)
MIXTURE_LIMIT_IN_LIST = Family(
    "mixture.<area>.<mixture>.equivalent-limit.<list>", "ppm", "the same by one list that counts in the area"
)
CROSS_COEFFICIENT = Family(
    "cross.<sensor>.<gas>.coefficient",
    "%",
    "share of a gas that a sensor not meant for it shows; below zero where it lowers the reading",
)
CROSS_APPARENT = Family(
    "cross.<area>.<sensor>.<gas>.apparent",
    "ppm, %vol",
    "the reading that gas causes there, at its second alarm or its limit",
)
OXYGEN_AFTER = Family("oxygen.after.<n>", "%vol", "oxygen left when n %vol of another gas came in")
OXYGEN_DISPLACED = Family("oxygen.displaced-by-1", "%vol", "gas that an oxygen drop of 1 %vol can mean")
OXYGEN_DISPLACED_IN = Family("oxygen.<area>.displaced-by-1", "%vol", "the same, for an area where oxygen is a hazard")
OXYGEN_CLEAN = Family("oxygen.site.partial-pressure", "kPa", "partial pressure in clean dry air of the site")
OXYGEN_WATER = Family("oxygen.site.water-vapour-<air>", "kPa", "water vapour that takes the place of oxygen")
OXYGEN_DISPLAY = Family("oxygen.site.at-<n>.display", "%vol", "a displayed percentage: 19.5, 20.9 or 23.5")
OXYGEN_PARTIAL = Family("oxygen.site.at-<n>.partial-pressure", "kPa", "what it is here in dry air")
OXYGEN_PARTIAL_WET = Family("oxygen.site.at-<n>.partial-pressure-<air>", "kPa", "what it is here in wet air")
OXYGEN_SEA_LEVEL = Family(
    "oxygen.site.at-<n>.sea-level", "%vol", "the percentage at sea level with the same partial pressure"
)
CHART_POINT = Family("chart.at-<n>-<scale>", "ppm, %LEL, %vol", "a point along a chart")
CHART_MASS = Family("chart.<gas>.mg-m3.at-<n>-<scale>", "mg/m³", "mass of it, at the reference conditions")
CHART_VOLUME = Family("chart.<gas>.vol.at-<n>-<scale>", "%vol", "the same by volume, on the site's basis")
CHART_TIME = Family(
    "chart.<area>.<channel>.to-<averaged>.at-<n>-<scale>",
    "h, min",
    "time at a steady n ppm until the averaged alarm set there; area: the first that has this setpoint",
)

EXAMPLE_TWA = Family("example.twa", "ppm", "8-hour average of the worked case of the rule")
EXAMPLE_MIXTURE = Family("example.mixture", "none", "sum of the shares of its worked case of a mixture")

# ---- detectors -----------------------------------------------------------------------
MODEL_RUNTIME = Family("model.<model>.runtime", "h", "battery, as stated")
MODEL_RUNTIME_AT_COLDEST = Family("model.<model>.runtime-at-coldest", "h", "battery as stated for the cold")
MODEL_RUNTIME_COLD = Family("model.<model>.runtime-cold", "h", "battery in the coldest place it is used")
MODEL_RUNTIME_MARGIN = Family("model.<model>.runtime-margin", "h", "that, less the longest shift")
MODEL_LOG_CAPACITY = Family("model.<model>.log-capacity", "h", "as stated")
MODEL_LOG_FULL_AFTER = Family("model.<model>.log-full-after", "none", "shifts its data log holds")
MODEL_DOWNLOAD_EVERY = Family("model.<model>.download-every", "interval", "how often its data log is read out")
MODEL_PUMP_FLOW = Family("model.<model>.pump-flow", "L/min", "as stated")
MODEL_TRAP_VOLUME = Family("model.<model>.trap-volume", "mL", "what its filter and water trap hold")
MODEL_TRAP_DELAY = Family("model.<model>.trap-delay", "s", "until gas has filled them")
MODEL_LONGEST_HOSE = Family("model.<model>.longest-hose", "m", "as stated")
MODEL_HOSE = Family("model.<model>.hose", "m", "hose supplied with it")
MODEL_HOSE_BORE = Family("model.<model>.hose-bore", "mm", "as stated")
MODEL_FLOW_BLOCK = Family("model.<model>.flow-block", "s", "time within which its pump alarms with the inlet closed")
MODEL_FILTER_EVERY = Family("model.<model>.filter-every", "interval", "how long its pump filter lasts, as stated")
MODEL_PART = Family("model.<model>.part.<part>", "interval", "how long a part lasts, as stated")
MODEL_WORKS_FROM = Family("model.<model>.works-from", "°C", "lowest working temperature")
MODEL_WORKS_TO = Family("model.<model>.works-to", "°C", "highest working temperature")
MODEL_MOTIONLESS = Family("model.<model>.lone-worker.motionless", "s", "time without motion before its warning")
MODEL_WARNING = Family("model.<model>.lone-worker.warning", "s", "warning before the full alarm")
MODEL_LONE_WORKER_TOTAL = Family("model.<model>.lone-worker.total", "s", "both together")
MODEL_WARM_UP = Family("model.<model>.warm-up", "s, min, h", "after switching on, until a reading is one")
MODEL_AFTER_JUMP = Family("model.<model>.after-jump", "s, min, h", "the same after a jump in temperature")
MODEL_RUNTIME_INSTEAD = Family("model.<model>.runtime-instead", "h", "on the cells that are taken instead")
MODEL_LOUDNESS = Family("model.<model>.loudness", "dB(A)", "level of its alarm, as stated")
MODEL_TWA_OVER = Family("model.<model>.twa-over", "h", "time base of its TWA, as stated")
MODEL_STEL_OVER = Family("model.<model>.stel-over", "min", "time base of its STEL, as stated")
MODEL_LOG_INTERVAL = Family("model.<model>.log-interval", "s", "between two readings that its log keeps")
MODEL_LOG_MARGIN = Family("model.<model>.log-margin", "h", "what its log still holds at a download")
MODEL_CLOCK_DRIFT = Family("model.<model>.clock-drift", "s, min, h", "how far its clock goes wrong in a month")
MODEL_RELAY_WITHIN = Family("model.<model>.relay.within", "s, min, h", "until its alarm reaches others")
MODEL_RELAY_ANSWERED = Family("model.<model>.relay.answered-within", "s, min, h", "until they act on it")
MODEL_RELAY_HELP = Family("model.<model>.relay.help-within", "s, min, h", "until help is at the farthest place")
MODEL_RELAY_LOST = Family("model.<model>.relay.lost-after", "s, min, h", "until a lost signal is told")
MODEL_KNOWN_AFTER = Family(
    "model.<model>.lone-worker.known-after", "s", "from the last movement until somebody else acts on the alarm"
)
MODEL_HELP_AFTER = Family("model.<model>.lone-worker.help-after", "min", "the same until help is there")
LOUDNESS_MARGIN = Family("noise.<area>.<model>.margin", "dB(A)", "how far its alarm stands out of the noise there")
MODEL_T90 = Family("model.<model>.<sensor>.t90", "s", "as stated")
MODEL_FULL_SCALE = Family("model.<model>.<sensor>.full-scale", "the sensor's", "as stated")
MODEL_RESOLUTION = Family("model.<model>.<sensor>.resolution", "the sensor's", "as stated")
SENSOR_LAMP = Family("sensor.<sensor>.lamp", "eV", "as stated")
SENSOR_LIFE = Family("sensor.<sensor>.life", "interval", "as stated")
SENSOR_MINIMUM_OXYGEN = Family("sensor.<sensor>.minimum-oxygen", "%vol", "oxygen it needs, as stated")

SENSOR_SETTLES_IN = Family("sensor.<sensor>.settles-in", "s, min, h", "after it was put in, until it counts")
SENSOR_PRESSURE_FROM = Family("sensor.<sensor>.pressure-from", "kPa", "lowest air pressure it is made for")
SENSOR_PRESSURE_TO = Family("sensor.<sensor>.pressure-to", "kPa", "highest air pressure it is made for")

# ---- checks and gas ------------------------------------------------------------------
CHECK_INTERVAL = Family("check.<check>.interval", "interval", "how often, as the plan says")
CHECK_DUE_SOON = Family("check.<check>.due-soon", "interval", "how long ahead it is called due soon")
CHECK_GAS_TIME = Family("check.<check>.gas-time", "s", "how long gas flows")
CHECK_ALARMS_WITHIN = Family("check.<check>.alarms-within", "s", "time within which every alarm must sound")
CHECK_WINDOW_ABSOLUTE = Family("check.<check>.window.<channel>.absolute", "the channel's", "allowed deviation")
CHECK_WINDOW_RELATIVE = Family("check.<check>.window.<channel>.relative", "%", "allowed deviation as a share")
CLEAN_AIR_SHOWS = Family("check.<check>.clean-air.<channel>.shows", "the channel's", "in clean air")
CLEAN_AIR_FROM = Family("check.<check>.clean-air.<channel>.from", "the channel's", "lowest that is left alone")
CLEAN_AIR_TO = Family("check.<check>.clean-air.<channel>.to", "the channel's", "highest that is left alone")
CLEAN_AIR_REFUSED = Family(
    "check.<check>.clean-air.<channel>.refused-beyond", "the channel's", "farther off than this nobody zeroes it"
)
CHECK_ADJUST_LEAST = Family("check.<check>.adjust.least", "days", "shortest interval the site lets history set")
CHECK_ADJUST_MOST = Family("check.<check>.adjust.most", "days", "longest interval the site lets history set")
CHECK_ON_TIME = Family(
    "check.<check>.on-time", "%", "share of intervals, or days of use, that records show kept, with n"
)
WINDOW_EXPECTED = Family("window.<cylinder>.<sensor>.<check>.expected", "the sensor's", "what the display should show")
WINDOW_FROM = Family("window.<cylinder>.<sensor>.<check>.from", "the sensor's", "lowest reading that is accepted")
WINDOW_TO = Family("window.<cylinder>.<sensor>.<check>.to", "the sensor's", "highest reading that is accepted")
WINDOW_TOLERANCE = Family("window.<cylinder>.<sensor>.<check>.tolerance", "the sensor's", "the deviation between")
WINDOW_RELATIVE_TOLERANCE = Family(
    "window.<cylinder>.<sensor>.<check>.tolerance.relative",
    "the sensor's",
    "the part of it that is a share of the expected display",
)
WINDOW_HALF_WIDTH = Family(
    "window.<cylinder>.<sensor>.<check>.half-width", "the sensor's", "permitted error on the narrower side"
)
WINDOW_UNGUARDED_FROM = Family(
    "window.<cylinder>.<sensor>.<check>.unguarded-from",
    "the sensor's",
    "lower edge before the uncertainty of the gas is taken off",
)
WINDOW_UNGUARDED_TO = Family(
    "window.<cylinder>.<sensor>.<check>.unguarded-to", "the sensor's", "upper edge before it is taken off"
)
WINDOW_UNCERTAINTY = Family(
    "window.<cylinder>.<sensor>.<check>.uncertainty", "the sensor's", "uncertainty of the gas at the expected display"
)
BUMP_RATIO = Family(
    "bump.<cylinder>.<sensor>.<alarm>.ratio",
    "none",
    "what a bump test should show, over the highest alarm (of oxygen also the lowest) of the units bumped with it",
)
SPAN_ENTER = Family(
    "span.<cylinder>.<sensor>.enter",
    "the sensor's",
    "span value to enter where the cylinder's gas stands in for the one shown",
)
CYLINDER_CERTIFIED_ON = Family("cylinder.<cylinder>.certified-on", "date", "day of its certificate")
CYLINDER_EXPIRES = Family("cylinder.<cylinder>.expires", "date", "last day of use")
CYLINDER_PRESSURE = Family("cylinder.<cylinder>.pressure", "bar", "as read")
CYLINDER_GONE = Family("cylinder.<cylinder>.gone", "date", "day on which it left")
CYLINDER_MEASURED = Family("cylinder.<cylinder>.measured", "date", "day its pressure was read")
CYLINDER_STOP_AT = Family("cylinder.<cylinder>.stop-at", "bar", "pressure at which it is used no more")
CYLINDER_VOLUME = Family("cylinder.<cylinder>.volume", "L", "water volume")
CYLINDER_FLOW = Family("cylinder.<cylinder>.flow", "L/min", "flow of its regulator")
CYLINDER_GAS_LEFT = Family("cylinder.<cylinder>.gas-left", "L", "gas in it when its pressure was read")
CYLINDER_GAS_USED = Family("cylinder.<cylinder>.gas-used", "L", "gas taken since")
CYLINDER_GAS_NOW = Family("cylinder.<cylinder>.gas-now", "L", "gas left after that")
CYLINDER_TESTS_LEFT = Family("cylinder.<cylinder>.tests-left", "none", "tests for which it holds gas")
CYLINDER_TESTS_A_DAY = Family("cylinder.<cylinder>.tests-a-day", "none", "mean of four weeks")
CYLINDER_RUNS_OUT = Family("cylinder.<cylinder>.runs-out", "date", "last day that its gas covers")
CYLINDER_USABLE_UNTIL = Family(
    "cylinder.<cylinder>.usable-until", "date", "the earlier of that and its last day of use"
)
CYLINDER_REORDER_BY = Family("cylinder.<cylinder>.reorder-by", "date", "that, less the lead time")
CYLINDER_GAS = Family("cylinder.<cylinder>.<gas>", "%vol, ppm", "certified content")
CYLINDER_GAS_LEL = Family("cylinder.<cylinder>.<gas>.lel", "%LEL", "the same on the site's basis")
CYLINDER_GAS_LABEL = Family("cylinder.<cylinder>.<gas>.label", "%LEL", "what the label says")
CYLINDER_GAS_UNCERTAINTY = Family("cylinder.<cylinder>.<gas>.uncertainty", "%", "of the certificate")

ENTRY_FROM = Family("entry.<channel>.from", "the channel's", "lowest at which people go in")
ENTRY_TO = Family("entry.<channel>.to", "the channel's", "highest at which people go in")
ENTRY_RETEST = Family("entry.retest-every", "min, h", "how often the air of a space is tested again")
HOT_WORK_FROM = Family("hot-work.<channel>.from", "the channel's", "lowest at which hot work starts")
HOT_WORK_TO = Family("hot-work.<channel>.to", "the channel's", "highest at which hot work starts")
HOT_WORK_STOP = Family("hot-work.<channel>.stop", "the channel's", "reading at which it stops")
HOT_WORK_RETEST = Family("hot-work.retest-every", "min, h", "how often the air is tested again at it")
HOT_WORK_WATCH = Family("hot-work.watch", "min, h", "fire watch after the last flame")
HOT_WORK_WATCH_RULE = Family("hot-work.watch.rule", "min", "the same as the rule of the place asks for")
HOT_WORK_WATCH_LONGEST = Family("hot-work.watch.longest", "min", "the longer of both: how long it is kept")
HOT_WORK_WATCH_HOURS = Family("hot-work.watch.hours", "h", "whole hours from the last flame until the watch may end")
HOT_WORK_WATCH_MINUTES = Family("hot-work.watch.minutes", "min", "minutes beyond those hours")

STATION_LEAK_TESTED = Family("station.<station>.leak-tested", "date", "day of its last good leak test")
STATION_LOG_UNTIL = Family("station.<station>.log-until", "date", "day of the last row of its own log")
STATION_LEAK_DUE = Family("station.<station>.leak-test-due", "date", "last day on which that still holds")

# ---- units and records ---------------------------------------------------------------
UNIT_LAST = Family("unit.<unit>.<check>.last", "date", "day of the last good check, by records or inventory")
UNIT_CERTIFICATE_UNTIL = Family(
    "unit.<unit>.certificate-until", "date", "last day of its owner's certificate, of a unit that is hired now"
)
UNIT_DUE = Family("unit.<unit>.<check>.due", "date", "last day on which that check still holds")
UNIT_INTERVAL = Family(
    "unit.<unit>.<check>.interval",
    "interval",
    "the strictest interval asked where the unit is kept, of its model; every party that asks is an input",
)
UNIT_DRIFT = Family(
    "unit.<unit>.<sensor>.drift", "the sensor's", "change in one day, from three as-found readings or more"
)
UNIT_NEXT_INTERVAL = Family("unit.<unit>.<sensor>.next-interval", "days", "recommended interval within policy")
UNIT_NEXT_INTERVAL_FOUND = Family("unit.<unit>.<sensor>.next-interval.found", "days", "what the method alone gives")
UNIT_NEXT_INTERVAL_ALLOWED = Family(
    "unit.<unit>.<sensor>.next-interval.allowed", "days", "what law, manufacturer and area allow"
)
UNIT_NEXT_INTERVAL_IN_FORCE = Family(
    "unit.<unit>.<sensor>.next-interval.in-force", "days", "the interval in force at the last reading"
)
UNIT_NEXT_INTERVAL_RUN = Family("unit.<unit>.<sensor>.next-interval.run", "days", "days between the last two readings")
UNIT_NEXT_INTERVAL_ERROR = Family(
    "unit.<unit>.<sensor>.next-interval.error", "the sensor's", "error as found at the last reading"
)
UNIT_SPAN_LEFT = Family("unit.<unit>.<sensor>.span-left", "%", "share of the first signal left")
UNIT_SPAN_END = Family("unit.<unit>.<sensor>.span-end", "date", "day it is used up")
RECORD_DAY = Family("record.<file>.<row>.day", "date", "day of a row of a file of records")
RECORD_AS_FOUND = Family("record.<file>.<row>.as-found", "the sensor's", "as found, as written")
RECORD_AS_LEFT = Family("record.<file>.<row>.as-left", "the sensor's", "as left, as written")
RECORD_SECONDS = Family("record.<file>.<row>.seconds", "s", "seconds until the alarm, as written")
RECORD_DAYS = Family("record.<file>.<row>.days", "days", "days since the first reading of its chart")
MONTH_ROWS = Family("records.<month>.<record>.rows", "none", "rows of a month")
MONTH_GOOD = Family("records.<month>.<record>.good", "none", "those that prove a pass")
MONTH_FAILED = Family("records.<month>.<record>.failed", "none", "those that show a fail")
MONTH_ON_TIME = Family(
    "records.<month>.<check>.on-time", "%", "checks that came in time, or days of use that had their check"
)

FAMILIES = tuple(found for found in tuple(globals().values()) if isinstance(found, Family))
"""All of them, in the order above."""
