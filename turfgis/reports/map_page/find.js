// Finding places by what staff call them: "14 green", "green 14", "7th fairway", "practice green", "14", a name.
"use strict";

const FIND = (() => {
  // Said without meaning: "the green on hole 14".
  const EMPTY = new Set(["the", "hole", "no", "number", "on", "of"]);

  // Lower case, without accents, "14th" as 14 and "07" as 7.
  function wordsOf(text) {
    return text
      .toLowerCase()
      .normalize("NFD")
      .replace(/[\u0300-\u036f]/g, "")
      .replace(/(\d)(st|nd|rd|th)\b/g, "$1")
      .split(/[^\p{L}\p{N}]+/u)
      .filter(Boolean)
      .map((word) => word.replace(/^0+(?=\d)/, ""));
  }

  // What each place can be found by. A running number such as green-14 is not the hole, so it counts only where it is
  // all that the place is called.
  function listPlaces(content, heads) {
    const patches = content.patches.map((patch, number) => {
      const surface = content.surfaces[patch.surface];
      return {
        number,
        surface: patch.surface,
        title: patch.title,
        hole: wordsOf(patch.hole || ""),
        kind: [...wordsOf(surface.name), ...wordsOf(surface.plural)],
        name: wordsOf(patch.title),
        id: (patch.id || "").toLowerCase(),
      };
    });
    // Places that need watching come behind the patches, and are numbered on from them.
    const { kinds, spots } = content.places;
    const watched = spots.map((spot, number) => ({
      number: patches.length + number,
      surface: content.surfaces.length,
      title: spot.title,
      hole: wordsOf(spot.hole),
      kind: wordsOf(`${kinds[spot.kind].name} ${kinds[spot.kind].name}s`),
      name: wordsOf(`${spot.title} ${spot.facts.filter(([label]) => label === "Species").join(" ")}`),
      id: spot.id.toLowerCase(),
    }));
    // Heads come last, and only for whoever asks for them: by their name, or as heads.
    const thrown = heads.map(({ id, title }, number) => ({
      number: patches.length + watched.length + number,
      surface: content.surfaces.length + 1,
      title,
      hole: [],
      kind: ["head", "heads", "sprinkler", "sprinklers"],
      name: wordsOf(id).filter((word) => !/^\d/.test(word)),
      id: id.toLowerCase(),
    }));
    return [...patches, ...watched, ...thrown];
  }

  // How badly one word fits a place: 0 hole or surface, 1 a whole word of the name, 2 the beginning of a word; -1 not.
  function misfit(word, place) {
    if (place.hole.includes(word) || place.kind.includes(word)) return 0;
    if (place.name.includes(word)) return 1;
    // A number is meant whole: 1 is not the beginning of 14.
    if (/^\d/.test(word)) return -1;
    return [...place.hole, ...place.kind, ...place.name].some((other) => other.startsWith(word)) ? 2 : -1;
  }

  function search(places, text) {
    const asked = wordsOf(text).filter((word, _, all) => all.length === 1 || !EMPTY.has(word));
    if (!asked.length) return [];
    const found = [];
    for (const place of places) {
      if (place.id === text.trim().toLowerCase()) {
        found.push({ place, score: -1 });
        continue;
      }
      const misfits = asked.map((word) => misfit(word, place));
      if (!misfits.includes(-1)) found.push({ place, score: misfits.reduce((sum, one) => sum + one, 0) });
    }
    found.sort(
      (a, b) =>
        a.score - b.score ||
        a.place.surface - b.place.surface ||
        a.place.title.localeCompare(b.place.title, "en", { numeric: true }),
    );
    // Where something is called just that, what only begins like it is left out: "14 green" is no greenside bunker.
    const best = found.length && found[0].score;
    return found.filter((one) => best > 0 || one.score <= 0).map((one) => one.place.number);
  }

  return { listPlaces, search };
})();
