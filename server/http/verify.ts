// Filled in by the resource that this file is named for.

import type { Deps } from './deps.ts'
import type { Resource } from './resource.ts'

export function verifyResource(_resource: Resource, _deps: Deps): void {}
