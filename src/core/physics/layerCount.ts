/**
 * Layers of a part that reaches `top` mm above the plate: ⌈top/h⌉, with a millionth of a layer's grace
 * so that a height that is a whole number of layers in decimals stays one in binary.
 */
export function layerCount(top: number, layerHeight: number): number {
  return Math.max(0, Math.ceil(top / layerHeight - 1e-6));
}
