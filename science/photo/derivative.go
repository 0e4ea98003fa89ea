package photo

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
)

// Derivative makes the JPEG that is shown in place of a photograph: its longer
// side longSide pixels at most (a smaller picture keeps its size), quality
// 1..100, colours sRGB, and no metadata of any kind. It returns the file and its
// width and height.
func Derivative(img *image.RGBA, longSide, quality int) (file []byte, width, height int, err error) {
	switch {
	case img == nil || img.Rect.Empty():
		return nil, 0, 0, fmt.Errorf("there is no picture to scale down")
	case longSide < 1 || longSide > 65500:
		return nil, 0, 0, fmt.Errorf("a long side of %d pixels cannot be made: choose 1 to 65500", longSide)
	case quality < 1 || quality > 100:
		return nil, 0, 0, fmt.Errorf("quality %d does not exist: choose 1 to 100", quality)
	}
	small := Scale(img, longSide)
	var out bytes.Buffer
	if err := jpeg.Encode(&out, small, &jpeg.Options{Quality: quality}); err != nil {
		return nil, 0, 0, fmt.Errorf("write the smaller JPEG: %w", err)
	}
	return out.Bytes(), small.Rect.Dx(), small.Rect.Dy(), nil
}

// Scale brings the longer side of a picture down to longSide pixels. Two steps:
// whole blocks of pixels are averaged down to no less than 1.25 times the size
// wanted, which is fast and lets no fine pattern alias; then Catmull-Rom does
// the rest, which keeps edges crisp. A picture that is small enough is
// returned as it is.
func Scale(img *image.RGBA, longSide int) *image.RGBA {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	long := max(w, h)
	if long <= longSide {
		return img
	}
	tw, th := Scaled(w, h, longSide)
	k := max(1, min(4*long/(5*longSide), w, h))
	if k > 1 {
		img = average(img, k)
	}
	// Blocks at the edge may be cut: the size is a fraction then.
	return resample(img, float64(w)/float64(k), float64(h)/float64(k), tw, th)
}

// Scaled returns the width and height to which Scale brings a picture of w by h pixels.
func Scaled(w, h, longSide int) (int, int) {
	long := max(w, h)
	if long <= longSide {
		return w, h
	}
	return max(1, (w*longSide+long/2)/long), max(1, (h*longSide+long/2)/long)
}

// average makes one pixel of each k × k block. Blocks cut by the right or lower
// edge are averaged over what there is of them.
func average(img *image.RGBA, k int) *image.RGBA {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	dst := image.NewRGBA(image.Rect(0, 0, (w+k-1)/k, (h+k-1)/k))
	sums := make([]uint32, 4*dst.Rect.Dx())
	for dy := range dst.Rect.Dy() {
		clear(sums)
		y0, y1 := dy*k, min(dy*k+k, h)
		for y := y0; y < y1; y++ {
			addBlocks(sums, img.Pix[y*img.Stride:y*img.Stride+4*w], k)
		}
		out := dst.Pix[dy*dst.Stride:]
		for dx := range dst.Rect.Dx() {
			n := uint32((min(dx*k+k, w) - dx*k) * (y1 - y0))
			for c := range 4 {
				out[4*dx+c] = uint8((sums[4*dx+c] + n/2) / n)
			}
		}
	}
	return dst
}

func addBlocks(sums []uint32, row []uint8, k int) {
	for i := 0; len(row) > 0; i += 4 {
		block := row[:min(4*k, len(row))]
		var r, g, b, a uint32
		for ; len(block) >= 4; block = block[4:] {
			r += uint32(block[0])
			g += uint32(block[1])
			b += uint32(block[2])
			a += uint32(block[3])
		}
		sums[i] += r
		sums[i+1] += g
		sums[i+2] += b
		sums[i+3] += a
		row = row[min(4*k, len(row)):]
	}
}
