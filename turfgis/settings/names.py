"""What no single key can tell: names that point to one another, kinds that do not fit, prices that cannot be used."""

from collections.abc import Iterator

from turfgis.errors import InputError
from turfgis.settings import models
from turfgis.settings.messages import Path, did_you_mean
from turfgis.settings.values import OXIDES
from turfgis.surfaces import SURFACES, pile_order

Problem = tuple[Path, str]


def cross_checks(settings: models.CourseSettings) -> Iterator[Problem]:
    """Path of keys and what is wrong there, for each thing that does not fit the rest."""
    yield from _own_surfaces(settings)
    yield from _surface_names(settings)
    yield from _prices(settings)
    yield from _fuels(settings)
    yield from _suppliers(settings)
    yield from _times(settings)
    yield from _team(settings)
    yield from _soaks(settings)
    yield from _keep_off(settings)
    readings = [reading.name for reading in settings.reading]
    for place, name in enumerate(readings):
        if readings.index(name) != place:
            yield ("reading", place, "name"), f"two readings have the name '{name}'; give each its own"
    names = [job.name for job in settings.job]
    for place, job in enumerate(settings.job):
        if names.index(job.name) != place:
            yield ("job", place, "name"), f"two jobs have the name '{job.name}'; give each its own"
        yield from _job_machine(settings, place, job)
        if isinstance(job, models.Watering):
            yield from _watering(settings, place, job)
        yield from _true_area(settings, place, job)
        yield from _spray_volume(settings, place, job)
        for role, key in job.uses.items():
            yield from _job_material(settings, place, job, role, key)


def _team(settings: models.CourseSettings) -> Iterator[Problem]:
    """Machines that people and odd jobs name; names that two tasks of a day would share."""
    named = [(("person", key, "may"), machine) for key, one in settings.person.items() for machine in one.may]
    named += [(("odd_job", place, "machine"), one.machine) for place, one in enumerate(settings.odd_job) if one.machine]
    for where, machine in named:
        if machine not in settings.machine:
            hint = did_you_mean(machine, settings.machine) or "; describe it as [machine.NAME]"
            yield where, f"no machine '{machine}'{hint}"
    taken = {job.name for job in settings.job}
    for place, one in enumerate(settings.odd_job):
        if one.name in taken:
            yield ("odd_job", place, "name"), f"another job has the name '{one.name}'; give each its own"
        taken.add(one.name)


def _keep_off(settings: models.CourseSettings) -> Iterator[Problem]:
    """What is to be kept off is a surface, or the label of a layer that is drawn for that."""
    drawn = [layer.label for layer in settings.layer if layer.role == "keep_off" and layer.label]
    known = dict.fromkeys([*drawn, *_known_surfaces(settings)])
    named: list[tuple[Path, dict[str, float]]] = [
        (("job", at, "keep_off"), job.keep_off) for at, job in enumerate(settings.job) if isinstance(job, models.Spray)
    ]
    for key, one in settings.material.items():
        if isinstance(one, models.Liquid) and one.label is not None:
            named.append((("material", key, "label", "keep_off"), one.label.keep_off))
    for where, metres in named:
        for name in metres:
            if name not in known:
                hint = did_you_mean(name, known) or '; draw it in a layer with role = "keep_off" and this label'
                yield (*where, name), f"no surface, and no layer to keep off, is called '{name}'{hint}"


def _spray_volume(settings: models.CourseSettings, place: int, job: models.Job) -> Iterator[Problem]:
    """Products are a part of what the machine puts out."""
    machine = settings.machine.get(job.machine or "")
    if not isinstance(job, models.Spray) or machine is None or machine.spray is None or job.spray_volume is not None:
        return
    volume = machine.spray.volume
    if volume is not None and sum(rate.mean for rate in job.rates.values()) > volume * (1 + 1e-9):
        said = f"the products alone are more than the spray volume of '{job.machine}', which is product and water"
        yield ("job", place, "rate"), said


def _fuels(settings: models.CourseSettings) -> Iterator[Problem]:
    """Machines burn a fuel that is known, and what is reckoned by power says by which equation."""
    known = dict.fromkeys(["diesel", "petrol", *settings.fuel])
    for key, machine in settings.machine.items():
        if machine.burns not in known:
            hint = did_you_mean(machine.burns, known) or "; describe it as [fuel.NAME]"
            yield ("machine", key, "burns"), f"no fuel '{machine.burns}'{hint}"
            continue
        reckoned = machine.power is not None and machine.fuel is None and machine.burns not in ("diesel", "petrol")
        if reckoned and settings.fuel[machine.burns].kind is None:
            yield ("fuel", machine.burns), 'lacks kind = "diesel" or "petrol", by which fuel follows from power'


def _known_surfaces(settings: models.CourseSettings) -> list[str]:
    return [*SURFACES, *(name for name, one in settings.surface.items() if one.over and name not in SURFACES)]


def _own_surfaces(settings: models.CourseSettings) -> Iterator[Problem]:
    known = _known_surfaces(settings)
    sound = True
    for name, one in settings.surface.items():
        if name not in SURFACES and not one.over:
            hint = did_you_mean(name, SURFACES)
            yield ("surface", name), f"a surface of the club's own needs over = [...], what it lies over{hint}"
        for other in one.over or []:
            if other not in known:
                sound = False
                yield ("surface", name, "over"), f"no surface '{other}'{did_you_mean(other, known)}"
    if sound:
        try:
            pile_order({name: one.over or [] for name, one in settings.surface.items()})
        except InputError as error:
            yield ("surface",), str(error)


def _surface_names(settings: models.CourseSettings) -> Iterator[Problem]:
    known = _known_surfaces(settings)
    used: list[tuple[Path, str]] = []
    for place, layer in enumerate(settings.layer):
        if layer.surface:
            used.append((("layer", place, "surface"), layer.surface))
        used += [(("layer", place, "surfaces", value), name) for value, name in layer.surfaces.items()]
    for place, strip in enumerate(settings.strip):
        used += [(("strip", place, "surface"), strip.surface), (("strip", place, "around"), strip.around)]
    for key, machine in settings.machine.items():
        used += [(("machine", key, "on"), name) for name in machine.on]
    for place, job in enumerate(settings.job):
        used += [(("job", place, "on"), name) for name in job.on]
    for place, reading in enumerate(settings.reading):
        used += [(("reading", place, "on"), name) for name in reading.on or []]
    for place, catch in enumerate(settings.catch):
        used += [(("catch", place, "on"), name) for name in catch.on or []]
    for place, soak in enumerate(settings.soak):
        used += [(("soak", place, "on"), name) for name in soak.on]
    for place, odd in enumerate(settings.odd_job):
        used += [(("odd_job", place, "on"), name) for name in odd.on or []]
    if settings.water is not None:
        used += [(("water", "surface", name), name) for name in settings.water.surface]
    for key, limit in settings.limit.items():
        used += [(("limit", key, "on"), name) for name in limit.on]
    for where, name in used:
        if name not in known:
            yield where, f"no surface '{name}'{did_you_mean(name, known)}"


def _soaks(settings: models.CourseSettings) -> Iterator[Problem]:
    for place, soak in enumerate(settings.soak):
        if soak.slope is not None and settings.elevation is None:
            yield ("soak", place, "slope"), "needs the heights of the ground: give [elevation] with file = ..."


def _suppliers(settings: models.CourseSettings) -> Iterator[Problem]:
    """A supplier that nothing comes from may stand there; one that differs by a slip of the pen may not."""
    named = list(dict.fromkeys(one.supplier for one in settings.material.values() if one.supplier))
    bare = [name for name in named if name not in settings.supplier]
    for name in settings.supplier:
        if name not in named and "did you mean" in (hint := did_you_mean(name, bare)):
            yield ("supplier", name), f"no material has the supplier '{name}'{hint}"


def _times(settings: models.CourseSettings) -> Iterator[Problem]:
    """Months without a year need that of the programme; a season must be described."""
    missing = 'is a month without its year: add year = 2027 at the top, or write "2027-{month}"'
    for place, job in enumerate(settings.job):
        bare = next((month for month in job.months or {} if len(month) == 2), None)
        if bare and settings.year is None:
            yield ("job", place, "months"), f"'{bare}' " + missing.format(month=bare)
        if job.season is not None and job.season not in settings.season:
            hint = did_you_mean(job.season, settings.season) or "; describe it as [season.NAME] with from and to"
            yield ("job", place, "season"), f"no season '{job.season}'{hint}"
        if isinstance(job, models.DivotMix) and job.mix_per_round is not None and not settings.rounds:
            yield (
                ("job", place, "mix_per_round"),
                "needs the rounds played a month: add rounds = { 4 = 2100 } at the top",
            )
    bare = next((month for month in settings.rounds if len(month) == 2), None)
    if bare and settings.year is None:
        yield ("rounds",), f"'{bare}' " + missing.format(month=bare)


def _prices(settings: models.CourseSettings) -> Iterator[Problem]:
    for key, material in settings.material.items():
        problem = material.price_problem()
        if problem:
            yield ("material", key, "price"), problem
    for where, money in _money(settings):
        if money is not None and money.currency != settings.currency:
            yield where, f"is in {money.currency}, but the currency of the course is {settings.currency}"


def _money(settings: models.CourseSettings) -> Iterator[tuple[Path, models.Money | models.Price | None]]:
    """Every key that holds money."""
    for key, material in settings.material.items():
        yield ("material", key, "price"), material.price
        yield ("material", key, "delivery"), material.delivery
    for key, machine in settings.machine.items():
        yield ("machine", key, "cost"), machine.cost
    for key, person in settings.person.items():
        yield ("person", key, "wage"), person.wage
    for key, fuel in settings.fuel.items():
        yield ("fuel", key, "price"), fuel.price
    if settings.water:
        yield ("water", "price"), settings.water.price
    if settings.labour:
        yield ("labour", "wage"), settings.labour.wage
    for place, job in enumerate(settings.job):
        if isinstance(job, models.Purchase):
            yield ("job", place, "amount"), job.amount
        if isinstance(job, models.Contractor):
            yield ("job", place, "price"), job.price


def _true_area(settings: models.CourseSettings, place: int, job: models.Job) -> Iterator[Problem]:
    where = ("job", place, "true_area")
    if not job.true_area:
        return
    if settings.elevation is None:
        yield where, "needs the heights of the ground: give [elevation] with file = ..."
    by_price = isinstance(job, models.Contractor) and job.price.kind == "area"
    given = isinstance(job, models.SpotTreatment) or (isinstance(job, models.RepairTurf) and job.share is None)
    rounds = isinstance(job, models.DivotMix) and job.mix_per_round is not None
    if given or rounds or not (job.uses or by_price):
        yield where, "changes nothing: the job takes no material by area, and has no price by area; leave it out"


def _watering(settings: models.CourseSettings, place: int, job: models.Watering) -> Iterator[Problem]:
    """Water goes by what [water] says of a surface, and by the weather where the job gives no depth."""
    said = settings.water
    for name in job.on:
        if said is None or name not in said.surface:
            hint = did_you_mean(name, said.surface) if said else ""
            yield ("job", place, "on"), f"there is no [water.surface.{name}] to say how it is watered{hint}"
    if said is not None and job.depth is None and said.weather is None:
        yield ("job", place, "depth"), "is missing, and [water] names no weather to go by; give one of the two"


def _job_machine(settings: models.CourseSettings, place: int, job: models.Job) -> Iterator[Problem]:
    where = ("job", place, "machine")
    if job.machine is None:
        return
    machine = settings.machine.get(job.machine)
    if machine is None:
        hint = did_you_mean(job.machine, settings.machine) or "; describe it as [machine.NAME]"
        yield where, f"no machine '{job.machine}'{hint}"
        return
    if isinstance(job, models.Mow) and not machine.mows:
        mowers = ", ".join(name for name, one in settings.machine.items() if one.mows) or "none"
        yield where, f"'{job.machine}' does not mow; mowers: {mowers}"
    elsewhere = [name for name in job.on if name not in machine.on]
    if elsewhere:
        yield where, f"'{job.machine}' works on {', '.join(machine.on)}, but the job is on {', '.join(elsewhere)} too"


def _job_material(settings: models.CourseSettings, place: int, job: models.Job, role: str, key: str):
    named, _, inside = role.partition(".")
    material, wanted = settings.material.get(key), job.materials[named]
    where = ("job", place, named, *([inside] if inside else []))
    if material is None:
        hint = did_you_mean(key, settings.material) or "; describe it as [material.NAME]"
        yield where, f"no material '{key}'{hint}"
    elif isinstance(job, models.SpotTreatment):
        problem = job.rate_problem(material.kind)
        if problem:
            yield ("job", place, "rate"), problem
    elif material.kind != wanted:
        fitting = [name for name, one in settings.material.items() if one.kind == wanted]
        named = f" (there is: {', '.join(fitting)})" if fitting else ""
        yield where, f"'{key}' is {material.kind}; {job.work} needs {wanted}{named}"
    elif isinstance(job, models.Fertilise) and isinstance(material, models.Fertiliser) and job.nutrient:
        analysis = {str(name): share for name, share in material.analysis.items()}
        if not analysis.get(job.nutrient, 0.0):
            there = ", ".join(name for name, share in analysis.items() if share) or "nothing"
            other = {**OXIDES, **{element: oxide for oxide, element in OXIDES.items()}}.get(job.nutrient)
            hint = f"; give the rate as {other}" if other in analysis else ""
            yield ("job", place, "nutrient"), f"'{key}' has {there}, but no {job.nutrient}{hint}"
