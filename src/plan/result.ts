// Expected trouble is a value with its evidence; exceptions are bugs.

export type Result<Value, Refusal> =
  { readonly ok: true; readonly value: Value } | { readonly ok: false; readonly refusal: Refusal }

export const ok = <Value>(value: Value): { readonly ok: true; readonly value: Value } => ({
  ok: true,
  value,
})

export const refuse = <Refusal>(
  refusal: Refusal,
): { readonly ok: false; readonly refusal: Refusal } => ({ ok: false, refusal })
