/** Lower edge of each water layer, cm. */
export const layerBottomsCm = [2.5, 7.5, 15, 30, 60, 100] as const;
export const LAYERS = layerBottomsCm.length;
/** Thickness of each layer, mm. */
export const layerThicknessMm: readonly number[] = layerBottomsCm.map(
  (bottom, i) => 10 * (bottom - (layerBottomsCm[i - 1] ?? 0)),
);
/** Depth of each heat node, m. */
export const nodeDepthsM = [0, 0.01, 0.025, 0.05, 0.075, 0.1, 0.15, 0.2, 0.3, 0.45, 0.7, 1.1, 1.7, 2.5] as const;
export const NODES = nodeDepthsM.length;
/** Distance between a node and the next, m. */
export const nodeGapsM: readonly number[] = nodeDepthsM.slice(1).map((z, i) => z - (nodeDepthsM[i] as number));
/** The heat node nearest to the middle of each water layer. */
export const layerNodes: readonly number[] = layerBottomsCm.map((bottom, i) => {
  const middleM = (bottom - (layerThicknessMm[i] as number) / 20) / 100;
  const off = nodeDepthsM.map((depth) => Math.abs(depth - middleM));
  return off.indexOf(Math.min(...off));
});
/** Which water layer lies between a node and the next. */
export const gapLayers: readonly number[] = nodeGapsM.map((gap, i) => {
  const middleCm = 100 * ((nodeDepthsM[i] as number) + gap / 2);
  const layer = layerBottomsCm.findIndex((bottom) => middleCm <= bottom);
  return layer < 0 ? LAYERS - 1 : layer;
});
