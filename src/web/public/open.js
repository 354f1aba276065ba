// A household's link carries its key after the #, which no server ever sees. Moves it into the form, clears the address bar, and sends the
// form. Without this script the link can be pasted by hand.

const key = location.hash.slice(1)
const form = document.querySelector('form.open')

if (key && form) {
  history.replaceState(null, '', location.pathname)
  form.elements.key.value = key
  form.submit()
}
