export const pricesWords = {} as const
