// The time zones that this platform knows, for the set-up form's list.

/** IANA names. */
export const zones = (): readonly string[] => Intl.supportedValuesOf('timeZone')
