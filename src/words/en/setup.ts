// What set-up and settings say, and the page that follows them.

export const setupWords = {
  setup: {
    title: 'Set up your household',
    settingsTitle: 'Settings',
    back: 'Back to the plan, without a change',
    save: 'Set it up',
    saveSettings: 'Save the settings',
    wrong: 'There is a problem',
    four: 'The house and its battery',
    capacityKwh: 'How much does the battery hold? (kWh)',
    capacityKwhHint:
      'The usable capacity. It is on the data sheet, the invoice or the label: often 5 to 15 kWh.',
    outageReservePct: 'How much do you keep for a power cut? (%)',
    outageReservePctHint: 'The plan never spends this part. 10 % if you are not sure.',
    loadKw: 'What does the house use on an evening? (kW)',
    loadKwHint:
      'Lights, fridge, screens, some cooking. If you do not know, leave it empty: 0.8 kW is used until you do.',
    timeZone: 'Where is the house?',
    utc: 'Is the house really on UTC? If not, give its region and city.',
    timeZoneHint: 'Its time zone, by region and city: America/Halifax, Europe/London.',
    now: 'The battery and your hands',
    socPct: 'What does the battery show now? (%)',
    socPctHint: 'You can also say so later.',
    howToHold: 'How do you pause it at home?',
    howToHoldHint:
      'In your own words; each reminder repeats them. For example: panel in the hall, second page, discharge off.',
    howToRelease: 'And how do you let it run again?',
    name: 'A name for the household',
    nameHint: 'Only for your own calendar.',
    optional: 'optional',
    medical: 'Does anybody in the house depend on medical equipment that needs power?',
    yes: 'Yes',
    no: 'No',
    more: 'More about the battery and the reminders',
    moreHint: 'Leave these as they are if you are not sure.',
    maxDischargeKw: 'The most it can give (kW)',
    maxChargeKw: 'The most it can charge with (kW)',
    dischargeEfficiency: 'Efficiency giving, 0.5 to 1',
    chargeEfficiency: 'Efficiency charging, 0.5 to 1',
    standbyKw: 'Standing loss (kW)',
    marginPct: 'Margin kept beyond the need (%)',
    rule: 'Your rule of thumb',
    ruleHint:
      'If your household keeps so many per cent for each hour, the plan goes by that and not by the expected use.',
    rulePctPerHour: 'Per cent for each hour',
    ruleExtraHours: 'Hours added',
    releaseLeadMinutes: 'Let it run again so many minutes before the start',
    night: 'Does it charge from the grid every night?',
    nightHint:
      'From when to when, on your own clock. With this a plan can be made the day before. Leave both empty if it does not.',
    nightChargeFrom: 'From',
    nightChargeUntil: 'Until',
    webhookUrl: 'Webhook address',
    webhookUrlHint:
      'For a chat or a home system of your own: reminders are sent there as signed messages.',
    calendarAlarms: 'The calendar sounds alarms as well',
    dayFirst: '3/11 is the third of November, not the eleventh of March',
  },

  /** One sentence for each field that cannot be taken as it stands. */
  fieldWrong: {
    name: 'Give a name of at most 60 characters, on one line',
    timeZone:
      'Give the time zone by region and city, such as America/Halifax. Letters such as EST mean different places',
    capacityKwh: 'Give the capacity in kWh, more than 0 and at most 1000',
    outageReservePct: 'Give the part for a power cut in per cent, from 0 to 90',
    loadKw: 'Give the evening use in kW, more than 0 and at most 100, or leave it empty',
    socPct: 'Give what the battery shows in per cent, from 0 to 100',
    howToHold: 'Give the way you pause it in at most 300 characters',
    howToRelease: 'Give the way you let it run again in at most 300 characters',
    medical: 'Say yes or no: does anybody depend on medical equipment that needs power?',
    medicalAcknowledged: 'Read the advice, then tick the box to go on, or stop here',
    maxDischargeKw: 'Give the most it can give in kW, more than 0, or leave it empty',
    maxChargeKw: 'Give the most it can charge with in kW, more than 0, or leave it empty',
    dischargeEfficiency: 'Give the efficiency giving as a number from 0.5 to 1',
    chargeEfficiency: 'Give the efficiency charging as a number from 0.5 to 1',
    standbyKw: 'Give the standing loss in kW, from 0 to 1',
    marginPct: 'Give the margin in per cent, from 0 to 50',
    rulePctPerHour: 'Give your rule in per cent for each hour, from 1 to 100, or leave it empty',
    ruleExtraHours: 'Give the hours added by your rule, from 0 to 12',
    releaseLeadMinutes: 'Give the minutes before the start, from 0 to 60',
    nightChargeFrom: 'Give both night times or neither, such as 23:30 and 05:30',
    nightChargeUntil: 'Give both night times or neither, such as 23:30 and 05:30',
    webhookUrl: 'Give an address on the public internet that begins with https://',
    calendarAlarms: 'Tick the box for alarms, or leave it',
    dayFirst: 'Tick the box if the day comes first, or leave it',
  },

  medical: {
    advice: 'We advise you not to take part.',
    why: 'Somebody in the house depends on equipment that needs power. Such a home should not rely on its battery for an event: the battery can run out or fail, and Holdbell cannot see that.',
    doInstead:
      'Speak to your healthcare provider about a plan for power cuts now, and ask your network operator to put the household on its register for priority services. The register does not keep the supply on. In danger, call the emergency services.',
    never: 'Never switch off or postpone medical equipment for an event.',
    unsaved: 'Nothing has been saved so far.',
    stop: 'Stop here',
    lasting:
      'Somebody in the house depends on medical equipment: we advise you not to take part. Never switch it off for an event, and keep a separate plan for power cuts.',
    goOn: 'We have read this, there is a separate plan for power cuts, and we want to go on all the same',
  },

  welcome: {
    clock: (time: string) =>
      `It is ${time} at your house. If that is wrong, change the time zone in the settings.`,
    title: 'Your household is set up',
    covers: (hours: string) =>
      `From full, your battery can cover **${hours}** at this load, down to what you keep for a power cut.`,
    link: 'Your link',
    linkHint:
      'It is the key to your household, and it is shown only this once. Save it as a bookmark or send it to those who help you hold. Whoever has it can see and change everything.',
    calendar: 'The calendar',
    calendarHint:
      'Add this address to a calendar to see events and times. It is a display only: many calendars refresh once a day, so do not rely on it to remind you.',
    copyLink: 'Copy the link',
    copyCalendar: 'Copy the address',
    copySecret: 'Copy the secret',
    copied: 'Copied',
    secret: 'The webhook secret',
    secretHint:
      'It proves that a message comes from here (Standard Webhooks). It is shown only this once.',
    go: 'To the plan',
  },
} as const
