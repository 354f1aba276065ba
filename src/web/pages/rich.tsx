// A sentence of the catalogue with its figures in bold.

/** `**` opens and closes what is bold; the text itself is escaped as always. */
export const Rich = ({ text }: { readonly text: string }) => (
  <>{text.split('**').map((part, index) => (index % 2 === 1 ? <b>{part}</b> : part))}</>
)
