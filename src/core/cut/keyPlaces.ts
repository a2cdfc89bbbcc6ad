/** A place in the plane of a cut, mm, and how much more room is there than its key takes. */
export interface KeyPlace {
  readonly x: number;
  readonly y: number;
  readonly spare: number;
}

/** Places with this much less spare than the best count as good as it: what lies in their middle is taken. */
const ALIKE_MM = 0.25;

/**
 * So many of the places, fewer where so many do not stand `apart`: as far from each other as they can be
 * among those that have some room to spare; a single one where most room is. In order of choice.
 */
export function chooseKeyPlaces(
  places: readonly KeyPlace[],
  count: number,
  apart: number,
  enough: number,
): readonly KeyPlace[] {
  if (places.length === 0 || count === 0) return [];
  const most = Math.max(...places.map(({ spare }) => spare));
  const roomy = places.filter(({ spare }) => spare >= Math.min(most / 2, enough));
  const chosen = spread(roomy, count, apart);
  const among = chosen.length < count ? spread(places, count, apart) : chosen;
  const best = among.length > chosen.length ? among : chosen;
  return best.length < 2 ? [roomiest(places, most)] : best;
}

const apartOf = (a: KeyPlace, b: KeyPlace): number => Math.hypot(a.x - b.x, a.y - b.y);

function roomiest(places: readonly KeyPlace[], most: number): KeyPlace {
  const alike = places.filter(({ spare }) => spare >= most - ALIKE_MM);
  const middle = {
    x: alike.reduce((sum, { x }) => sum + x, 0) / alike.length,
    y: alike.reduce((sum, { y }) => sum + y, 0) / alike.length,
    spare: 0,
  };
  return alike.reduce((best, place) => (apartOf(place, middle) < apartOf(best, middle) ? place : best));
}

/** The two farthest from each other, then one after the other what is farthest from those chosen. */
function spread(places: readonly KeyPlace[], count: number, apart: number): KeyPlace[] {
  if (count < 2 || places.length < 2) return [];
  const pair = farthestPair(places);
  if (apartOf(...pair) < apart) return [];
  const chosen: KeyPlace[] = [...pair];
  while (chosen.length < count) {
    const nearest = (place: KeyPlace) => Math.min(...chosen.map((other) => apartOf(place, other)));
    const next = places.reduce((best, place) => (nearest(place) > nearest(best) ? place : best));
    if (nearest(next) < apart) break;
    chosen.push(next);
  }
  return chosen;
}

function farthestPair(places: readonly KeyPlace[]): [KeyPlace, KeyPlace] {
  let best: [KeyPlace, KeyPlace] = [places[0]!, places[0]!];
  places.forEach((a, n) => {
    for (const b of places.slice(n + 1)) if (apartOf(a, b) > apartOf(...best)) best = [a, b];
  });
  return best;
}
