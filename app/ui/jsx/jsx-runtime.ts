import type { JSX } from 'react/jsx-runtime'
import * as react from 'react/jsx-runtime'
import { showProps } from './showProps'

/**
 * What each element of a page is made with (`jsxImportSource` in tsconfig.json): React's own, after a look at the texts that
 * the element shows. So no text reaches a page past it.
 */
export const jsx: typeof react.jsx = (type, props, key) => react.jsx(type, showProps(type, props), key)
export const jsxs: typeof react.jsxs = (type, props, key) => react.jsxs(type, showProps(type, props), key)
export const Fragment = react.Fragment

/** The compiler takes the types of elements from here. */
export type { JSX }
