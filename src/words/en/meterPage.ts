// The meter's page, and what the API says around a meter's file.


export const meterPageWords = {
  refused: {
    packed: 'Unpack the file, or save the sheet as CSV, and send that: this one is packed.',
    ahead: (from: string) =>
      `Choose a file of days that are over: this one begins on ${from}, which is still to come.`,
  },
  api: {
    packed: 'Send the file as it is: a packed one (Content-Encoding) is not taken.',
    mediaType: (types: string) => `Send the file as one of these types: ${types}.`,
    question: (text: string) =>
      `${text} Send the file again with the query parameters of one choice: see question.`,
  },
} as const
