// What is said in a chat with the bot alone; everything else there comes from reminders and the conversation.

export const telegramWords = {
  /** For a choice that is too long for a button. */
  typeInstead: (label: string, send: string) => `For “${label}”, send: ${send}`,
}
