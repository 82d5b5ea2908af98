// Is a browser known by what it says of itself, and nothing finer kept?

import { describe, expect, it } from 'vitest'
import { browserOf } from '../../server/access/browser-words.ts'

describe('a browser in two words', () => {
  it.each([
    ['Mozilla/5.0 (Windows NT 10.0; Win64; x64; rv:128.0) Gecko/20100101 Firefox/128.0', 'Firefox/Windows'],
    [
      'Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/140.0.0.0 Mobile Safari/537.36',
      'Chrome/Android',
    ],
    [
      'Mozilla/5.0 (iPhone; CPU iPhone OS 18_4 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.4 Mobile/15E148 Safari/604.1',
      'Safari/iPhone',
    ],
    [
      'Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/140.0.0.0 Safari/537.36 Edg/140.0.0.0',
      'Edge/Windows',
    ],
    ['curl/8.5.0', '/'],
    ['<script>alert(1)</script>', '/'],
  ])('%s is %s', (userAgent, words) => expect(browserOf(userAgent)).toBe(words))

  it('may say nothing at all', () => expect(browserOf(undefined)).toBe('/'))
})
