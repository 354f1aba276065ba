export const peopleWords = {} as const
