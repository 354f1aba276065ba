// Says at once that a file is too large, instead of after it was sent. The page works without it.

const MOST_BYTES = 5 * 1024 * 1024

const form = document.querySelector('#upload')
const field = document.querySelector('#file')

field?.addEventListener('change', () => {
  const [file] = field.files
  field.setCustomValidity(file && file.size > MOST_BYTES ? form.dataset.tooLarge : '')
  field.reportValidity()
})
