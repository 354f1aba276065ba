// A button beside each key that copies it. Without this script the key can be selected and copied by hand.

for (const code of document.querySelectorAll('[data-copy]')) {
  const button = document.createElement('button')
  button.type = 'button'
  button.textContent = code.dataset.copy
  button.addEventListener('click', async () => {
    await navigator.clipboard.writeText(code.textContent.trim())
    button.textContent = code.dataset.copied
  })
  if (navigator.clipboard) code.after(button)
}
