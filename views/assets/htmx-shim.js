// htmx 4 asks for Document.parseHTMLUnsafe with options; browsers up to Chromium 140 throw there. Without it htmx parses another way.
try {
  Document.parseHTMLUnsafe?.('', {})
} catch {
  Document.parseHTMLUnsafe = undefined
}
