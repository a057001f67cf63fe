import type { ProductEntry } from './registerDocument'

/** The products of each plant. Range names are invented. */
export const PRODUCTS: readonly ProductEntry[] = [
  product('F101', 'OMB1', 'Sorrinel wool felt tile, 6 mm', 'FELT'),
  product('F102', 'OMB1', 'Sorrinel wool felt tile, 9 mm', 'FELT'),
  product('F103', 'OMB1', 'Broskum felt stair tile', 'FELT'),
  product('F201', 'OMB2', 'Ummerel wool felt tile, plain', 'FELT'),
  product('F202', 'OMB2', 'Ummerel wool felt tile, dyed', 'FELT'),
  product('F301', 'TAR1', 'Yavettal needled felt tile', 'FELT'),
  product('F302', 'TAR1', 'Yavettal felt tile, rubber back', 'FELT'),
  product('F303', 'TAR1', 'Hadlequin felt plank', 'FELT'),
  product('C101', 'VEL1', 'Pellunor cork underlay, 2 mm', 'CORK'),
  product('C102', 'VEL1', 'Pellunor cork underlay, 4 mm', 'CORK'),
  product('C103', 'VEL1', 'Pellunor cork underlay with film', 'CORK'),
  product('C201', 'VEL2', 'Drossimer cork sheet', 'CORK'),
  product('C202', 'VEL2', 'Drossimer cork and rubber sheet', 'CORK'),
  product('C301', 'SUV1', 'Olvettic cork underlay, fine', 'CORK'),
  product('C302', 'SUV1', 'Olvettic cork underlay, coarse', 'CORK'),
  product('C303', 'SUV1', 'Karrunet expanded cork board', 'CORK'),
  product('P101', 'DRA1', 'Fennosker acoustic panel, 12 mm', 'PANEL'),
  product('P102', 'DRA1', 'Fennosker acoustic panel, 24 mm', 'PANEL'),
  product('P201', 'DRA2', 'Tilvaner slotted panel', 'PANEL'),
  product('P202', 'DRA2', 'Tilvaner perforated panel', 'PANEL'),
  product('P301', 'ILQ1', 'Murroske ceiling baffle', 'PANEL'),
  product('P302', 'ILQ1', 'Murroske wall panel', 'PANEL'),
  product('P303', 'ILQ1', 'Murroske printed wall panel', 'PANEL'),
  product('M101', 'KET1', 'Quellith seat foam, soft', 'FOAM'),
  product('M102', 'KET1', 'Quellith seat foam, firm', 'FOAM'),
  product('M103', 'KET1', 'Quellith foam with fire retardant', 'FOAM'),
  product('M201', 'KET2', 'Bronnevy roll foam, 10 mm', 'FOAM'),
  product('M202', 'KET2', 'Bronnevy roll foam, 20 mm', 'FOAM'),
  product('M301', 'MOP1', 'Ostrillo acoustic foam, flat', 'FOAM'),
  product('M302', 'MOP1', 'Ostrillo acoustic foam, pyramid', 'FOAM'),
]

function product(code: string, plant: string, name: string, protocol: string): ProductEntry {
  return { code, plant, name, protocol }
}
