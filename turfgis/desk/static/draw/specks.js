// A canvas on which an area of hardly a pixel is a speck: thousands of outlines too small to be told apart need not be
// drawn corner by corner while the whole course, or several, are in view.
const L = window.L;
const SPECK_PX = 3;

export const Specks = L.Canvas.extend({
  _updatePoly(layer, closed) {
    const box = layer._rawPxBounds; // of the outline on the screen, without the width of its line
    const wide = box ? box.max.x - box.min.x : Infinity, high = box ? box.max.y - box.min.y : Infinity;
    if (!closed || wide > SPECK_PX || high > SPECK_PX) return L.Canvas.prototype._updatePoly.call(this, layer, closed);
    if (!this._drawing) return undefined;
    const { fillOpacity, fillColor } = layer.options;
    this._ctx.globalAlpha = fillOpacity;
    this._ctx.fillStyle = fillColor;
    this._ctx.fillRect(box.min.x, box.min.y, Math.max(wide, 1), Math.max(high, 1));
    return undefined;
  },
});
