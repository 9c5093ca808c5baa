// Chance from a seed: the same seed gives the same history.

export function makeDice(seed) {
  let state = seed >>> 0;
  const random = () => {
    // mulberry32
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
  const below = (count) => Math.floor(random() * count);
  const pick = (list) => list[below(list.length)];
  const weighted = (weights) => {
    const entries = Object.entries(weights);
    let left = random() * entries.reduce((sum, [, weight]) => sum + weight, 0);
    for (const [name, weight] of entries) {
      left -= weight;
      if (left < 0) return name;
    }
    return entries[0][0];
  };
  const bytes = (count) => Uint8Array.from({ length: count }, () => below(256));
  return { random, below, pick, weighted, bytes };
}
