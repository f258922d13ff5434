"""Two pictures of a screen, compared pixel by pixel with a slack of one, in a browser: it reads PNG faster than we do."""

from __future__ import annotations

from base64 import b64encode

FLAT = 4
"""Of 255: what colours of one fill may differ by."""

# How far each pixel of one lies outside the colours that the other has there or one pixel beside it, the farthest of the
# channels, 0 to 255: 0 for whatever is shifted by up to a pixel. Both ways. Where neither has an edge, no slack is given.
COMPARE = """async ([pictures, slack, flat]) => {
  const read = async (text) => {
    const image = new Image();
    image.src = `data:image/png;base64,${text}`;
    await image.decode();
    const { width, height } = image, pen = Object.assign(document.createElement("canvas"), { width, height }).getContext("2d");
    pen.drawImage(image, 0, 0);
    return pen.getImageData(0, 0, width, height);
  };
  const both = await Promise.all(pictures.map(read)), { width, height } = both[0];
  if (both.some((one) => one.width !== width || one.height !== height)) throw new Error("pictures differ in size");
  const around = ({ data }, at) => {
    let low = 255, high = 0;
    for (let dy = -4 * width; dy <= 4 * width; dy += 4 * width) for (let dx = -4; dx <= 4; dx += 4) {
      low = Math.min(low, data[at + dy + dx]);
      high = Math.max(high, data[at + dy + dx]);
    }
    return { value: data[at], low, high };
  };
  const found = [];
  for (let y = 1; y < height - 1 && found.length < 1000; y++) for (let x = 1; x < width - 1; x++) {
    let most = 0, range = 0;
    for (let channel = 0; channel < 3; channel++) {
      const [one, other] = both.map((picture) => around(picture, 4 * (y * width + x) + channel));
      most = Math.max(most, other.low - one.value, one.value - other.high, one.low - other.value, other.value - one.high);
      range = Math.max(range, one.high - one.low, other.high - other.low);
    }
    if (most > (range > flat ? slack : flat)) found.push([x, y, most]);
  }
  return found;
}"""


def unlike(page, pictures, *, slack):
    """Return the pixels in which two pictures differ by more than a shift of one pixel.

    Args:
        page: Any page that is open; it is left as it was.
        pictures: The bytes of two PNG files of one size.
        slack: What a channel may differ by beyond that, 0 to 255; within a fill it may do so by ``FLAT``.

    Returns:
        A list of [x, y, how much the channel differs that does so most], of the first thousand or so.
    """
    return page.evaluate(COMPARE, [[b64encode(one).decode() for one in pictures], slack, FLAT])
