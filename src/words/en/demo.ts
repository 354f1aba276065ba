// The demo house's own words.

export const demoWords = {
  name: 'The terraced house on Tern Street',
  howToHold: 'open the battery’s app, Battery, set “discharge” to off.',
  howToRelease: 'open the battery’s app, Battery, set “discharge” to on.',
}
