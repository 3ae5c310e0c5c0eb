/**
 * Expected value of learning one answer before choosing (single-parameter EVPPI: M. Strong, J. E. Oakley, A. Brennan,
 * Med. Decis. Making 34 (2014) 311, in its grouping form).
 *
 * The draws are grouped by the answer; in each group the option of least mean cost is taken, and the saving against the
 * option that is best without the answer is averaged. Groups of fewer than `smallest` draws join their neighbour; a value
 * below two standard errors is zero.
 *
 * @param cells one entry for each group and set of draws that cost alike: group, number of draws, cost of each option
 * @param groups number of groups, in the order in which neighbours join
 * @param smallest fewest draws a group may have
 * @returns value and its standard error, in the unit of the costs; value 0 or more
 */
export function valueOfAnswer(
  cells: readonly { group: number; count: number; costs: readonly number[] }[],
  groups: number,
  smallest: number,
): { value: number; standardError: number } {
  const options = cells[0]?.costs.length ?? 0;
  const merged = mergeSmall(cells, groups, smallest);
  const sums = new Map<number, number[]>();
  const overall = new Array<number>(options).fill(0);
  let total = 0;
  for (const cell of cells) {
    const group = merged[cell.group]!;
    const sum = sums.get(group) ?? new Array<number>(options).fill(0);
    sums.set(group, sum);
    for (let i = 0; i < options; i++) {
      sum[i]! += cell.count * cell.costs[i]!;
      overall[i]! += cell.count * cell.costs[i]!;
    }
    total += cell.count;
  }
  if (total === 0 || sums.size < 2) return { value: 0, standardError: 0 };
  const now = least(overall);
  const then = new Map([...sums].map(([group, sum]) => [group, least(sum)] as const));
  let mean = 0;
  let square = 0;
  for (const cell of cells) {
    const gain = cell.costs[now]! - cell.costs[then.get(merged[cell.group]!)!]!;
    mean += cell.count * gain;
    square += cell.count * gain * gain;
  }
  mean /= total;
  const standardError = Math.sqrt(Math.max(0, square / total - mean * mean) / total);
  return { value: mean < 2 * standardError || mean < 0 ? 0 : mean, standardError };
}

function least(costs: readonly number[]): number {
  let best = 0;
  for (let i = 1; i < costs.length; i++) if (costs[i]! < costs[best]!) best = i;
  return best;
}

/** For each group the group that it belongs to once small ones have joined their neighbour. */
function mergeSmall(cells: readonly { group: number; count: number }[], groups: number, smallest: number): number[] {
  const size = new Array<number>(groups).fill(0);
  for (const cell of cells) size[cell.group]! += cell.count;
  const merged = size.map((_, g) => g);
  let open = -1;
  let inOpen = 0;
  for (let g = 0; g < groups; g++) {
    if (size[g] === 0) continue;
    if (open < 0) open = g;
    merged[g] = open;
    inOpen += size[g]!;
    if (inOpen >= smallest) {
      open = -1;
      inOpen = 0;
    }
  }
  if (open >= 0) {
    // What is left over at the end joins the group before it.
    const before = merged.filter((m, g) => size[g]! > 0 && m < open).at(-1);
    if (before !== undefined) {
      for (let g = 0; g < groups; g++) if (merged[g] === open && size[g]! > 0) merged[g] = before;
    }
  }
  return merged;
}
