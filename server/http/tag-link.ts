// Where does the picture on a pipe's tag lead? A short address: whose tag it is, and the tag.

/**
 * Tells a person's own companies apart and means nothing to anybody else: tags are unique in a company only. The end
 * of an id is its random part.
 */
export const companyCode = (companyId: string): string => companyId.slice(-6)

export const tagLink = (publicUrl: string, companyId: string, tag: string): string =>
  new URL(`/t/${companyCode(companyId)}/${encodeURIComponent(tag)}`, publicUrl).href
