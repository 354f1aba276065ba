// What the page "Who is told" says: the ways to each person, how each did last time, and how to add one.

export const channelsPageWords = {
  title: 'Who is told',
  link: 'Who is told',
  back: 'Back to the plan',
  why: 'A reminder goes to the first way of the first person who can reach the battery then. If nobody answers it goes to all ways of that person, then to everybody. An answer from anybody ends it.',
  page: 'The page of the plan shows every reminder, whatever is set here.',
  nobody: 'Nobody is told yet. Add at least one way below, and try it.',

  /** In the order in which they are turned to. */
  waysOf: (person: string) => person,
  kind: {
    push: 'a browser',
    telegram: 'a chat',
    group: 'a group chat',
    mail: 'e-mail',
    publish: 'a publish server',
  },
  labelled: (label: string, kind: string) => `${label} (${kind})`,
  leadsTo: (where: string) => `It goes to ${where}.`,
  leadsToTopic: (server: string, topic: string) => `It goes to ${server}, topic ${topic}.`,

  last: {
    never: 'Never tried.',
    delivered: (at: string) => `Delivered at ${at} today.`,
    deliveredOn: (day: string, at: string) => `Delivered on ${day} at ${at}.`,
    failed: (at: string) => `Did not work at ${at} today.`,
    failedOn: (day: string, at: string) => `Did not work on ${day} at ${at}.`,
    waiting: 'Waits to be confirmed: look into that mailbox, and open the link there.',
    gone: 'Switched off: it said that it is gone. Add it again, or remove it.',
    off: 'Turned off.',
    notSetUp: 'Cannot be used: this server is not set up for it.',
  },

  test: 'Send a test',
  confirmAgain: 'Send the confirmation again',
  first: 'Try this first',
  turnOff: 'Turn off',
  turnOn: 'Turn on',
  remove: 'Remove',
  removeSure: (label: string) => `Yes, remove ${label}`,
  removeNow: 'Remove it now',
  /** For who hears the page: which one a button is about. */
  about: (person: string, label: string) => `${person}, ${label}`,

  said: {
    delivered: (person: string, label: string) =>
      `Delivered: ${person}, ${label}. If the test does not show there within a minute, look whether notifications are allowed.`,
    deliveredMail: (person: string, label: string) =>
      `Sent: ${person}, ${label}. If the test does not arrive within a few minutes, look among the junk mail.`,
    unreachable: (person: string, label: string) =>
      `Unreachable: ${person}, ${label}. Try again in a few minutes. If it stays so, add it again, or add another way.`,
    gone: (person: string, label: string) =>
      `Gone: ${person}, ${label} takes no messages any more, so it is switched off. Add it again, or remove it.`,
    notSetUp: (person: string, label: string) =>
      `Not set up: this server cannot send to ${person}, ${label}. Choose another way.`,
    asked: (address: string) => `Look into the mailbox of ${address}, and open the link there.`,
    notAsked: (address: string) =>
      `The confirmation could not be sent to ${address}. Check the address, or try again in a few minutes.`,
    added: (person: string, label: string) =>
      `Added: ${person}, ${label}. Send a test, to see that it arrives.`,
    removed: 'Removed.',
    changed: 'Changed.',
    webhookSaved: 'The webhook is saved.',
    webhookRemoved: 'The webhook is removed.',
    webhookDelivered: 'Delivered: the webhook took the test.',
    webhookUnreachable:
      'Unreachable: the webhook did not take the test. Look at what answers there, and try again.',
    webhookGone: 'Gone: what answers there wants no messages any more. Set another address.',
  },

  add: 'Add a way',
  person: 'For whom?',
  somebodyElse: 'Somebody else',
  other: 'If somebody else: who?',
  otherFirst: 'For whom?',
  label: 'What do you call it?',

  push: {
    heading: 'This browser',
    what: 'Reminders come as notifications to this browser, on this phone or computer, even when the page is closed.',
    phone: 'On an iPhone or iPad, put this page on the home screen first and open it from there.',
    script:
      'This needs a script, which this browser does not run. Choose another way, or allow it for this site.',
    label: 'this browser',
    go: 'Notify this browser',
    ios: 'Put this page on the home screen first, open it from there, and try again.',
    unsupported:
      'This browser takes no notifications from pages. Try another browser, or choose another way.',
    denied:
      'Notifications are not allowed for this site. Allow them in the browser’s settings of this site, and try again.',
    failed:
      'The browser could not be set up for notifications just now. Try again in a minute, or choose another way.',
    notSetUp: 'Notifications to browsers are not set up on this server.',
  },
  telegram: {
    heading: 'Telegram',
    what: 'Reminders come to a chat with a bot, of one person or of a group; answers are written or tapped there.',
    go: 'Make a link',
    made: (person: string) => `The link for ${person}`,
    lasts: (until: string) => `It works once, until ${until}. Open one of the two:`,
    alone: 'Open a chat with the bot',
    group: 'Bring the bot into a group',
    after: 'Press "Start" there. The chat then stands under "Who is told".',
    elsewhere: 'If it is for another phone, send one of these to it:',
    copyAlone: 'Copy the link for a chat',
    copyGroup: 'Copy the link for a group',
    back: 'Back to "Who is told"',
    notSetUp: 'A chat with a bot is not set up on this server.',
  },
  mail: {
    heading: 'E-mail',
    what: 'Reminders come as mails, and can be answered with a mail. Whose address it is has to confirm it first. A mail may take minutes, so let it not be the only way.',
    address: 'E-mail address',
    label: 'e-mail',
    go: 'Add the address',
    notSetUp: 'E-mail is not set up on this server.',
  },
  publish: {
    heading: 'Publish server',
    what: 'Reminders are published to a topic on a server that speaks the open publish protocol (JSON by HTTPS, with a topic), your own or a public one; whoever subscribes to the topic there is told.',
    server: 'Address of the server',
    topic: 'Topic',
    topicHint:
      'Whoever knows the topic can read it. This one is fresh and cannot be guessed: subscribe to it on the phone.',
    token: 'Access token, if the topic needs one',
    label: 'publish server',
    go: 'Add the topic',
  },

  webhook: {
    heading: 'Webhook',
    what: 'Every reminder also goes to a web address of your own as a signed message (Standard Webhooks), for a home system or a chat that you run.',
    now: (address: string) => `It goes to ${address}.`,
    none: 'None is set.',
    address: 'Webhook address',
    save: 'Save the webhook',
    change: 'Change it',
    set: 'Set one',
    remove: 'Remove the webhook',
    removeSure: 'Yes, send nothing there any more',
    failed: 'Did not work the last time.',
    secret: 'The webhook’s secret',
    secretHint: 'Shown only now. Put it into your receiver, to check that a message is from here.',
    copy: 'Copy the secret',
    newSecret: 'Make a new secret',
    newSecretHint:
      'The one before signs as well for a day, so that nothing is missed until the new one is put in.',
  },

  wrong: {
    person: 'Say for whom, with a name of at most 60 characters, on one line',
    label: 'Give it a name of at most 40 characters, on one line',
    mail: 'Give an e-mail address, such as ada@example.org',
    topic: 'Give a topic of at most 64 letters, digits, "-" and "_"',
    token: 'Give the token as it was handed out, at most 512 characters, without spaces',
    push: 'This browser gave no address that notifications can be sent to. Allow notifications for this site, and try again',
    address: {
      too_long: 'The address is too long: at most 2048 characters',
      unreadable: 'Give a whole address, such as https://push.example.org',
      not_https: 'Give an address that begins with https://',
      user_or_password: 'Give the address without a user name or password in it',
      port: 'Give the address without a port: https has its own',
      number_address: 'Give the server by its name, not by its number',
      inner_name:
        'Give an address that can be reached from everywhere: this one is inside a network',
      own_host: 'This is Holdbell’s own address. Give the address of your server',
    },
  },

  /** On the plan's page. */
  note: {
    nobody: 'Nobody would be told: this page alone shows reminders.',
    setUp: 'Set up a way to tell you',
    unreached: (names: string, count: number) =>
      count === 1
        ? `${names} has no working way to be told.`
        : `${names} have no working way to be told.`,
    look: 'Look at the ways',
  },
} as const
