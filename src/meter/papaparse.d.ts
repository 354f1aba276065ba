// The part of papaparse that is used here. Its published types bring Node's with them, and with those a
// clock, a network and a console that a pure folder is not to see.

declare module 'papaparse' {
  type Parsed = { readonly data: string[][]; readonly errors: readonly { code: string }[] }
  const Papa: {
    parse(
      text: string,
      options: { delimiter: string; skipEmptyLines: boolean; preview?: number; quoteChar?: string },
    ): Parsed
  }
  export default Papa
}
