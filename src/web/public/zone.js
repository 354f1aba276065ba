// Suggests the browser's own time zone where none is filled in, and asks again when it is plain UTC: browsers that hide
// where they are say so.

const field = document.querySelector('input[name=timeZone]')
const utc = document.querySelector('#utc')

const ask = () => {
  utc.hidden = !/^(Etc\/)?UTC$/i.test(field.value.trim())
}

if (field && utc) {
  if (field.value === '') field.value = Intl.DateTimeFormat().resolvedOptions().timeZone
  field.addEventListener('change', ask)
  ask()
}
