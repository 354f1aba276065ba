// Fields that many answers have.

import * as z from 'zod'

export const at = (description: string) => z.string().meta({ description, format: 'date-time' })
export const number = (description: string) => z.number().meta({ description })
