// What was understood of a meter's file, as the API shows it.

import type { MeterReport } from '../../household/index.ts'
import { sayTaken } from '../../meter/index.ts'
import type { MeterHistory } from '../../reminder/index.ts'
import { printInstant } from './rfc3339.ts'
import type { MeterAnswer } from './schemas/meter.ts'

export const meterSummary = ({
  takenAt,
  from,
  until,
  wholeDays,
  missingDays,
  idleShare,
}: MeterHistory) => ({
  takenAt: printInstant(takenAt),
  from,
  until,
  wholeDays,
  missingDays,
  idleShare,
})

export function meterAnswer(report: MeterReport, meter: MeterHistory): MeterAnswer {
  const { understood, gaps, duplicates, skippedRows, days } = report
  return {
    understood: { ...understood, columns: understood.columns.map((each) => ({ ...each })) },
    from: printInstant(report.from),
    until: printInstant(report.until),
    intervals: report.intervals,
    wholeDays: days?.count ?? 0,
    gaps: {
      count: gaps.count,
      first: gaps.first.map(({ start, end }) => ({
        start: printInstant(start),
        end: printInstant(end),
      })),
    },
    duplicates: {
      equal: duplicates.equal,
      different: {
        count: duplicates.different.count,
        first: duplicates.different.first.map((each) => ({ ...each, at: printInstant(each.at) })),
      },
    },
    skippedRows: {
      count: skippedRows.count,
      first: skippedRows.first.map((each) => ({ ...each })),
    },
    ahead: report.ahead,
    newHalfHours: report.newHalfHours,
    replacedHalfHours: report.replacedHalfHours,
    tooOldHalfHours: report.tooOldHalfHours,
    newDays: report.newDays,
    meter: meterSummary(meter),
    said: [...sayTaken(report, days)],
  }
}
