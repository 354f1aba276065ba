// What the chat's platform brings to the server: the chat of one person with the bot.

import { type Caller, JSON_TYPE, type Reply } from './caller.ts'

const ADA = { id: 7, is_bot: false, first_name: 'Ada' }

// Each update has its own; one that is brought again has the same.
let updates = 5000
export const nextUpdate = (): number => ++updates

export const bring = (
  caller: Caller,
  secret: string,
  what: object,
  updateId = nextUpdate(),
): Promise<Reply | null> =>
  caller.call({
    method: 'POST',
    path: '/telegram',
    headers: { ...JSON_TYPE, 'x-telegram-bot-api-secret-token': secret },
    body: JSON.stringify({ update_id: updateId, ...what }),
  })

export const written = (chatId: number, text: string) => ({
  message: {
    message_id: nextUpdate(),
    date: Math.floor(Date.now() / 1000),
    chat: { id: chatId, type: 'private' },
    from: ADA,
    text,
  },
})

export const tapped = (chatId: number, data: string) => ({
  callback_query: {
    id: `q${nextUpdate()}`,
    from: ADA,
    message: { chat: { id: chatId, type: 'private' } },
    data,
  },
})
