// Who is told by which way: the words of messages about the ways themselves.

export const channelWords = {
  test: (person: string, label: string) =>
    `This is a test for ${person} (${label}): reminders will come here. Nothing to do.`,
  confirm: (person: string, household: string) =>
    `Reminders of "${household}" are to come to this address, for ${person}. If that is right, open the page and confirm it. If not, do nothing: no more will come.`,
  chatLabel: (who: string) => `chat with ${who}`,
  groupLabel: 'group chat',
  linked: (household: string) =>
    `Reminders of "${household}" will come here. Answer with a number ("58"), with "done", or ask "plan".`,
  linkExpired:
    'This link has been used, or is older than a quarter of an hour. Make a new one on the page "Who is told".',
  linkTaken:
    'This chat gets the reminders of another household. Remove it there first, under "Who is told"; then open the link again.',
  notLinked:
    'I do not know this chat. On your household’s page, under "Who is told", make a link for it and open that here.',
}
