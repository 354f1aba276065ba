// Suggests the browser's own time zone where none is filled in.

const field = document.querySelector('input[name=timeZone]')

if (field && field.value === '') field.value = Intl.DateTimeFormat().resolvedOptions().timeZone
