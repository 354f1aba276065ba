// The battery that all benches plan with.

import type { Battery } from '../../src/plan/index.ts'

export const battery: Battery = {
  capacityKwh: 9.6,
  outageReservePct: 10,
  maxDischargeKw: 3.6,
  maxChargeKw: 3.6,
  dischargeEfficiency: 0.95,
  chargeEfficiency: 0.95,
  standbyKw: 0,
  taper: null,
}
