// Reminders to a chat with the bot, of one person or of a group, by the Telegram Bot API. What comes back from
// there is read in telegramUpdate.ts.

import type { Button, ChannelTarget } from '../reminder/index.ts'
import { telegramWords } from '../words/index.ts'
import type { Channel, Outcome, PersonalMessage, Settled } from './channel.ts'
import { NO_BUTTONS, fitsButton, sayButtons, tapButtons } from './telegramButtons.ts'
import { callTelegram } from './telegramCall.ts'
import type { TelegramTools } from './telegramCall.ts'
import { LONGEST_TEXT, headed, shortened } from './telegramText.ts'

export type TelegramTarget = Extract<ChannelTarget, { kind: 'telegram' }>

// `answerCallbackQuery`: 0 to 200 characters.
const LONGEST_NOTICE = 200

// No `parse_mode`: text is text. No `disable_notification` either: what is sent asks for something, a reading
// as well as a hold, and the household's quiet hours have been kept before it comes here.
const plainText = (chatId: string, text: string) => ({
  chat_id: Number(chatId),
  text,
  link_preview_options: { is_disabled: true },
})

/** Accepted with the message's id in the chat as handle, for `settleTelegram`. */
export const sendTelegram: Channel<TelegramTarget, PersonalMessage, TelegramTools> = async (
  { chatId },
  { title, text, taps, key },
  tools,
) => {
  const body = { ...plainText(chatId, headed(title, text)), ...tapButtons(taps, key) }
  return callTelegram('sendMessage', body, tools)
}

/** The message that is out says how it ended, and nothing is left to tap. An edit rings no phone. */
export const settleTelegram: Channel<TelegramTarget, Settled, TelegramTools> = async (
  { chatId },
  { handle, message, text },
  tools,
) => {
  const body = { ...plainText(chatId, headed(message.title, text)), ...NO_BUTTONS }
  return callTelegram('editMessageText', { ...body, message_id: Number(handle) }, tools)
}

/** Ends the waiting that a tap shows, with a word to who tapped. Too late for that is no trouble. */
export const answerTap = (
  callbackQueryId: string,
  text: string,
  tools: TelegramTools,
): Promise<Outcome> =>
  callTelegram(
    'answerCallbackQuery',
    { callback_query_id: callbackQueryId, text: shortened(text, LONGEST_NOTICE) },
    tools,
  )

/** An answer as the body of a 2xx to the webhook: the platform runs it as a call, so it costs none. */
export function replyInAnswer(chatId: string, text: string, buttons: readonly Button[]) {
  const typed = buttons
    .filter((button) => !fitsButton(button))
    .map(({ label, send }) => telegramWords.typeInstead(label, send))
  const whole = shortened([text, ...typed].join('\n'), LONGEST_TEXT)
  return { method: 'sendMessage', ...plainText(chatId, whole), ...sayButtons(buttons) }
}
