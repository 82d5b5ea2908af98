// Lets a signed copy be chosen as a file instead of pasted; without this script the form works by pasting.
const area = document.querySelector('textarea[name="signedCopy"]')
if (area) {
  const label = document.createElement('label')
  label.textContent = 'Or choose the file'
  const file = document.createElement('input')
  file.type = 'file'
  file.accept = '.json,application/json'
  file.id = 'signed-copy-file'
  label.htmlFor = file.id
  file.addEventListener('change', async () => {
    const [chosen] = file.files
    if (chosen) area.value = await chosen.text()
  })
  const field = document.createElement('div')
  field.className = 'field'
  field.append(label, file)
  area.closest('.field').after(field)
}
