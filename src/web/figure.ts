// A number as people write it into a form.

/** Longer is no figure; and no expression is run over more than this. */
const LONGEST = 40

/** "9,6", "9.6 kWh", "10 %". Empty is `undefined`; what is no number is NaN, to be refused as such. */
export function figure(typed: string | undefined): number | undefined {
  const text = (typed ?? '').trim()
  if (text === '') return undefined
  if (text.length > LONGEST) return NaN
  const bare = text.replace(/\s*(kwh|kw|%|hours?|minutes?|min|h)$/i, '').replace(',', '.')
  return /^[+-]?\d{1,12}(\.\d{1,12})?$/.test(bare) ? Number(bare) : NaN
}
