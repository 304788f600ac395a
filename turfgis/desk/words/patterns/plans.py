"""Why a plan or a table cannot be made, and what is supposed in it."""

PATTERNS = (
    # the desk's pages
    "a board needs people: write a table [person.NAME] for each",
    "no job uses a material yet, so there is nothing to order",
    "no job of the group '{name}' uses a material '{value}'",
    "there are no jobs yet; the year begins with the first [[job]]",
    "there is no spray job '{name}' in the settings",
    # the course
    "no {file} in this folder; write one with 'turfgis start {text}'",
    "a reference system and the order of coordinates belong to a layer of the settings here; write crs = "
    '"EPSG:..." or swap_axes = true below its [[layer]]',
    "[yard] at = [{text}] lies {distance} from the course; longitude comes first, then latitude, in degrees",
    "there is nothing to copy: {names} lie in {file} already, or are not named in {value}",
    "the copies would not measure the same: {name} would be {area} off",
    "the copies cannot be used as the files were: {told}",
    # the year and its cases
    "no such file or folder as {file} beside this file",
    "{surface} lies below {other}, which would keep the ground; name another surface, or one that does not exist yet",
    "no {surface} of the course lies inside its areas; look at the two on a map, and at their reference systems",
    "job '{name}' names the patch {value}, which would be another piece of ground or none; give its holes instead",
    "holds one survey only, so two days have the same ground.",
    'Add the older survey as a [[layer]] with role = "earlier" and the day it was surveyed, or name two courses',
    "no survey of {what} by {day}; the first is of {first}",
    "the layer {layer} ({what}) was surveyed more than once, but does not say when; add surveyed = 2026-03-14 or "
    "so to it",
    "no year is given to count the working days of; write year = 2027 at the top of the settings",
    "true_area = true, but the heights give no area along the slope of {names}; see 'turfgis check', or leave "
    "true_area out",
    "no job has the group '{name}'; groups: {names}",
    "no material '{name}'; materials: {names}",
    "no job of the group '{name}' takes a material",
    "no job takes anything that '{name}' brings",
    "no job of the group '{value}' takes anything that '{name}' brings",
    "passes in the shape need the time of a turn; give turn (such as 12 s) or turn_radius",
    "the handbook needs its field efficiency; give efficiency (such as 70 %)",
    "a trip of {length} is too short: one place takes {value} min",
    # slopes, places
    "no machine is described.",
    'Add [machine.NAME] with width, speed, on and slope_limit = "16 deg", copied from its plate or manual',
    'slopes need the heights of the ground: add [elevation] with file = "heights.tif", any raster of heights, to '
    "the settings",
    "until {last} lies before {first}",
    "there is no place '{name}' ('turfgis places' lists them)",
    "there is no place '{name}'; did you mean '{value}'? ('turfgis places' lists them)",
    # water
    'there is no [water]; describe what is watered, such as [water] with weather = "weather.csv" and '
    "[water.surface.green]",
    "no watered surface is there; add [water.surface.green] with coefficient, root_depth, available_water and "
    "depletion, for ground that the course has",
    "begins on {first}, after {last}; choose a later day",
    'no layer of heads; add [[layer]] with file = ... and role = "heads", so that stations and their flow are known',
    "the night of {day} lies {days} days after the last weather ({first}); choose one up to {last}, or bring the "
    "weather up to date",
    "a level was given, but [water.supply] has no tank",
    "a level of {level} is more than the tank holds ({most})",
    # spraying
    'no job has work = "spray"; describe one as [[job]]',
    "no spray job '{name}'",
    "no spray job is in the group '{name}'; groups: {names}",
    "{name} is not planned: a maximum of zero was typed in from the label of {names}",
    "{name}: the label allows {most} each time; {when}: {found} on {names}",
    "{name}: the label allows {most} in a year; {when}: {found} on {names}",
    "{name}: the label asks for {most} between two times; {when}: only {found} on {names}",
    "1 time",
    "{count} times",
    "{told}; it is counted here all the same.",
    # where on the day and in the tank
    "{name}, {start} to {end}",
    "{patch} to {until}",
    "{product} on net",
    "{amount} of {product} and {volume} of {what}",
)
