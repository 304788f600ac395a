// Corners as the desk tells them, and where they lie on the screen. Nothing here measures ground.

// Small whole numbers, each the step from the corner before: [x, y, dx, dy ...] -> [[longitude, latitude] ...].
export function corners(steps, step) {
  const found = [];
  let x = 0, y = 0;
  for (let at = 0; at < steps.length; at += 2) {
    x += steps[at];
    y += steps[at + 1];
    found.push([x * step, y * step]);
  }
  return found;
}

export function opened(told, step) {
  const parts = told.parts.map((part) => part.map((ring) => corners(ring, step)));
  return { ...told, parts, bounds: boundsOf(parts) };
}

export function boundsOf(parts) {
  let west = Infinity, south = Infinity, east = -Infinity, north = -Infinity;
  for (const part of parts) {
    for (const [x, y] of part[0] ?? []) {
      west = Math.min(west, x); east = Math.max(east, x);
      south = Math.min(south, y); north = Math.max(north, y);
    }
  }
  return { west, south, east, north };
}

export const latlngs = (parts) => parts.map((part) => part.map((ring) => ring.map(([x, y]) => [y, x])));

export function holds(area, [x, y]) {
  const { west, south, east, north } = area.bounds;
  if (x < west || x > east || y < south || y > north) return false;
  let inside = false;
  for (const part of area.parts) {
    for (const ring of part) {
      for (let at = 0, before = ring.length - 1; at < ring.length; before = at, at += 1) {
        const [x1, y1] = ring[at], [x2, y2] = ring[before];
        if (y1 > y !== y2 > y && x < ((x2 - x1) * (y - y1)) / (y2 - y1) + x1) inside = !inside;
      }
    }
  }
  return inside;
}

// Every corner of an area with its part, ring and number.
export function* everyCorner(area) {
  for (const [part, rings] of area.parts.entries()) {
    for (const [ring, own] of rings.entries()) {
      for (const [number, place] of own.entries()) yield { corner: [part, ring, number], place, ring: own };
    }
  }
}

export function placeOf(area, [part, ring, number]) {
  return area?.parts[part]?.[ring]?.[number];
}

export const sameCorner = (one, other) => Boolean(one && other) && one.every((value, at) => value === other[at]);

// The corner before or after one, round and round through all rings.
export function beside(area, corner, step) {
  const all = [...everyCorner(area)].map((one) => one.corner);
  if (!all.length) return null;
  const at = all.findIndex((one) => sameCorner(one, corner));
  return all[at < 0 ? 0 : (at + step + all.length) % all.length];
}
