import type { JSX } from 'react/jsx-dev-runtime'
import * as react from 'react/jsx-dev-runtime'
import { showProps } from './showProps'

/** The same as `jsx-runtime`, for pages that reload with the sources. */
export const jsxDEV: typeof react.jsxDEV = (type, props, ...rest) =>
  react.jsxDEV(type, showProps(type, props), ...rest)
export const Fragment = react.Fragment

/** The compiler takes the types of elements from here. */
export type { JSX }
