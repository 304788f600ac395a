"""What reading heights, photos, readings, heads, cans, places, weather and meters finds."""

PATTERNS = (
    # heights
    "No slopes or true areas are given.",
    "{file} is no raster that can be read ({reader}).",
    "{names} do not lie on the grid of {file} (reference system, size of cells, unit or offset differ).",
    "Bring them onto one grid, or name one raster.",
    "The grid is turned against its reference system; it is used as it lies.",
    "The settings say {system}, the raster another system: the settings go first.",
    'The raster does not say its reference system; say crs = "EPSG:..." under [elevation].',
    "The raster gives heights in {name}, the settings say {value}: the settings go first.",
    'The raster gives its unit of height as \'{name}\', which is not known; say units = "m", "ft" or "US '
    'survey ft" under [elevation].',
    'The raster does not say in what unit its heights are; say units = "m", "ft" or "US survey ft" under [elevation].',
    "Heights such as {value} can be none, though the raster does not say so; they are taken as gaps.",
    "Have its no-data value set.",
    "The raster has no height on any patch.",
    "The raster lies outside the course: see whether its reference system is the right one.",
    "Every height on the course is {height}, which no ground is: the raster holds something else, or was filled "
    "where nothing is known.",
    "Greens would slope {slope} on average, which none do: heights in feet may have been taken for metres (see "
    "units under [elevation]), jump from cell to cell (see smoothing), or lie beside the course or askew to it.",
    "Greens would slope {slope} on average, which none do: heights in feet may have been taken for metres (see "
    "units under [elevation]), jump from cell to cell (see smoothing), or lie beside the course or askew to it "
    "(the raster says that its grid is turned).",
    "Tees would slope {slope} on average, which none do: heights in feet may have been taken for metres (see "
    "units under [elevation]), jump from cell to cell (see smoothing), or lie beside the course or askew to it.",
    "Tees would slope {slope} on average, which none do: heights in feet may have been taken for metres (see "
    "units under [elevation]), jump from cell to cell (see smoothing), or lie beside the course or askew to it "
    "(the raster says that its grid is turned).",
    "Heights cover less than {share} of 1 patch, which get no slope and no true area: {names}.",
    "Heights cover less than {share} of {count} patches, which get no slope and no true area: {names}.",
    "1 patch is smaller than {cells} cells of {size} and get no slope and no true area: {names}.",
    "{count} patches are smaller than {cells} cells of {size} and get no slope and no true area: {names}.",
    # photo
    "The map has no photo.",
    "The photo is empty where the course lies: all of it is black, of one colour, or marked as no data.",
    "The photo shows {share} of the ground of the patches; the rest of the map has none.",
    "This is a photo of another place: its middle lies some {distance} from the middle of the course.",
    # readings
    "There are no figures of '{name}'.",
    "Figures such as {value} stand for gaps, though nothing says so; they are taken as gaps.",
    "Have its no-data value set, or leave such rows away.",
    "The readings cover only a part of {names}; no figures are given for them.",
    "The course has no {surface}.",
    "The readings lie outside the course.",
    "There is no value among the readings where the course lies.",
    # heads and cans
    "1 head without a flow: {names}.",
    "{count} heads without a flow: {names}.",
    "1 head without a throw: {names}.",
    "{count} heads without a throw: {names}.",
    "1 head whose arc is no angle from 0 to 360 degrees: {names}.",
    "{count} heads whose arc is no angle from 0 to 360 degrees: {names}.",
    "1 head with a flow or a throw that no head has: {names}.",
    "{count} heads with a flow or a throw that no head has: {names}.",
    "1 head without a station: {names}.",
    "{count} heads without a station: {names}.",
    "1 head out of reach of any ground of the course: {names}.",
    "{count} heads out of reach of any ground of the course: {names}.",
    "1 head drawn a second time at the same place: {names}.",
    "{count} heads drawn a second time at the same place: {names}.",
    "1 head of a part circle, and nothing says which way: {names}.",
    "{count} heads of a part circle, and nothing says which way: {names}.",
    "Not reckoned with.",
    "Reckoned once.",
    "Reckoned as written; check units.",
    "Each is taken as a station of its own.",
    "Each is taken to look at the middle of the nearest patch; say it with a column facing, in degrees from north.",
    "1 can stood on no {surface}; not reckoned with.",
    "{count} cans stood on no {surface}; not reckoned with.",
    "Fewer than {count} cans, or none with water, on {names}; the model of the heads stands there.",
    "no such file of cans.",
    "Nothing tells how evenly {surface} is watered, so it is reckoned as if water fell evenly: the least that it "
    "can take.",
    "Type uniformity below [water.surface.{key}], set out cans ([[catch]]) or add a layer of heads.",
    # places
    "'{name}' is the id of no place in {file}; the visit is set aside.",
    "the id is missing in {file}; the visit is set aside.",
    "place {name}, seen on {day}, stands there twice (also as feature {feature}); the later row counts where both "
    "say something.",
    "place {name}, without a day in seen, stands there twice (also as feature {feature}); the later row counts "
    "where both say something.",
    "Give each place its own id, and each look its day.",
    "place {name} lies {distance} from all that was drawn; it is listed, but on no map.",
    "look_again is {day}, before the look itself ({first}); it does not count.",
    "Write the next day, or every.",
    "photo: there is no file '{file}' in the course folder; write its path from there, such as photos/7.jpg.",
    "'{value}' is no kind of place; it is listed under other (known: {accepted}; or say what it means with kinds "
    "= {{ ... }}).",
    "'{value}' is no kind of place; did you mean '{name}'?; it is listed under other (known: {accepted}; or say "
    "what it means with kinds = {{ ... }}).",
    "{value} is below zero; write a figure from {low} to {high}",
    "{value} is below zero; write a whole number from {low} to {high}",
    "{value} cannot be; write a figure from {low} to {high}",
    "{value} cannot be; write a whole number from {low} to {high}",
    "place {name}: {told}; its work is planned without the material.",
    "{name} goes by the size; draw the place as an area, or write size_m2",
    "{name} goes by the size; the place is a line of {length}, so write width_m, or size_m2",
    # weather
    "'{heading}' gives {what} a second time; the first column is used.",
    "'{heading}' says no unit and was read in {name}; write it as {example}.",
    "Not used: {names}.",
    "Used are headings such as tmax_c, rh_mean_pct, wind_m_s and rain_mm.",
    "1 cell could not be read and count as missing: {text}.",
    "{count} cells could not be read and count as missing: {text}.",
    "The days were not in order and have been sorted.",
    "1 day has more than one row ({names}); the last one counts.",
    "{count} days have more than one row ({names}); the last one counts.",
    "1 day is missing: {names}.",
    "{count} days are missing: {names}.",
    "There rain counts as none, and evapotranspiration as on the days around.",
    "'{heading}' looks like Fahrenheit: half of its values are above {value}.",
    "It was not used; if so, write it as {example}.",
    "Rain of {depth} in {days} days looks like inches: no day has more than {most}.",
    "It was used as it is written, so needs may be far too high; if it is in inches, write the heading as {example}.",
    "1 value of {what} cannot be right ({names}) and counts as missing.",
    "{count} values of {what} cannot be right ({names}) and count as missing.",
    "holds headings but no day; write one row for each day",
    "runs from {first} to {last}; check the years",
    "no column 'date'; write the day in one column",
    "more than one column 'date'; write the day in one column",
    "'{heading}' gives the {what} in no known unit (accepted: {accepted})",
    "no day has a lowest and a highest temperature that can be used, nor a reference evapotranspiration of the "
    "station; write columns tmin_c and tmax_c, or et0_mm",
    # meter, log and limits
    "1 reading of the meter ({names}): each is lower than the one before and was left out.",
    "{count} readings of the meter ({names}): each is lower than the one before and was left out.",
    "1 reading of the meter ({names}): each is far below the one before: taken as a new meter that began at "
    "nothing, so that what ran between the last reading of the old one and its end is not counted.",
    "{count} readings of the meter ({names}): each is far below the one before: taken as a new meter that began "
    "at nothing, so that what ran between the last reading of the old one and its end is not counted.",
    "1 reading of the meter ({names}): each is one of several on a day; the highest counts.",
    "{count} readings of the meter ({names}): each is one of several on a day; the highest counts.",
    "the reading is missing; write what the meter shows, in m3",
    "{names} is not watered by the settings; these rows are left out.",
    "Limit {name} ({most} a {what}) was passed on {day}.",
    "Limit {name} ({most} a {what}) would be passed on {day}; see 'turfgis water'.",
    "The settings name no weather, so nothing is known of what the turf needs.",
    "On {days} past days no weather is known: {depth} a day and no rain are supposed.",
    "For {days} of the days ahead nothing is foretold: {depth} a day, the mean of the last week, and no rain are "
    "supposed.",
    # spraying
    "What is kept off leaves nothing of {names}; nothing is sprayed there.",
)
