// Values by what they have in common.

/** In the order in which each group's first came. */
export function grouped<Value>(
  values: readonly Value[],
  by: (value: Value) => string,
): ReadonlyMap<string, readonly Value[]> {
  const groups = new Map<string, Value[]>()
  for (const value of values) groups.set(by(value), [...(groups.get(by(value)) ?? []), value])
  return groups
}
