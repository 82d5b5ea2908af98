// Does the way back after signing in ever lead away from here?

import { describe, expect, it } from 'vitest'
import { localPath } from '../../server/access/local-path.ts'

describe('the way back', () => {
  it.each([
    ['/jobs', '/jobs'],
    ['/jobs?stage=open&limit=5', '/jobs?stage=open&limit=5'],
    ['/', '/'],
    ['/jobs/../sites', '/sites'],
    ['/jobs#hold', '/jobs'],
    ['/a?next=//other.example', '/a?next=//other.example'],
  ])('%j leads to %j', (next, path) => expect(localPath(next)).toBe(path))

  it.each([
    undefined,
    '',
    'jobs',
    '//other.example',
    '///other.example',
    '/\\other.example',
    '\\\\other.example',
    '/\t/other.example',
    '/\n/other.example',
    '\t//other.example',
    '/.//other.example',
    '/jobs/..//other.example',
    'https://other.example',
    'HTTPS:other.example',
    'javascript:alert(1)',
    'data:text/html,x',
    ' //other.example',
  ])('%j leads nowhere', (next) => expect(localPath(next)).toBeNull())

  it('never begins with what a browser reads as a host', () => {
    for (const start of ['/', '//', '/\\', '/./', '/../', '/%2f', '/;//', '/@'])
      for (const rest of ['other.example', '/other.example', '\\other.example', '..//other.example']) {
        const path = localPath(start + rest)
        if (path !== null) expect(new URL(path, 'http://jointkeep.test').host).toBe('jointkeep.test')
      }
  })
})
