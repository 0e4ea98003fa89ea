package photo

import (
	"image"
	"math"
)

// kernel holds for each output pixel which input pixels make it, and by how much
// in 1/16384.
type kernel struct {
	first   []int
	weights [][]int32
}

const weightOne = 1 << 14

// catmullRom is the cubic through its samples (Catmull & Rom 1974).
func catmullRom(x float64) float64 {
	x = math.Abs(x)
	switch {
	case x < 1:
		return (1.5*x-2.5)*x*x + 1
	case x < 2:
		return ((-0.5*x+2.5)*x-4)*x + 2
	}
	return 0
}

// newKernel spreads size (which may be a fraction) of n input pixels over out.
func newKernel(n int, size float64, out int) kernel {
	k := kernel{first: make([]int, out), weights: make([][]int32, out)}
	ratio := size / float64(out)
	stretch := math.Max(1, ratio)
	for i := range out {
		centre := (float64(i)+0.5)*ratio - 0.5
		from := max(0, int(math.Ceil(centre-2*stretch)))
		to := min(n-1, int(math.Floor(centre+2*stretch)))
		from, to = min(from, n-1), max(to, 0)
		to = max(to, from)
		values := make([]float64, to-from+1)
		sum := 0.0
		for j := range values {
			values[j] = catmullRom((float64(from+j) - centre) / stretch)
			sum += values[j]
		}
		k.first[i], k.weights[i] = from, normalised(values, sum)
	}
	return k
}

// normalised turns weights to integers whose sum is weightOne exactly, so that
// an even surface keeps its value.
func normalised(values []float64, sum float64) []int32 {
	weights := make([]int32, len(values))
	left, largest := int32(weightOne), 0
	for i, v := range values {
		if sum != 0 {
			weights[i] = int32(math.Round(v / sum * weightOne))
		}
		left -= weights[i]
		if weights[i] > weights[largest] {
			largest = i
		}
	}
	weights[largest] += left
	return weights
}

// resample scales an opaque picture whose content is width × height pixels of
// its pixels, across and then down.
func resample(src *image.RGBA, width, height float64, tw, th int) *image.RGBA {
	across := newKernel(src.Rect.Dx(), width, tw)
	down := newKernel(src.Rect.Dy(), height, th)
	middle := image.NewRGBA(image.Rect(0, 0, tw, src.Rect.Dy()))
	for y := range src.Rect.Dy() {
		across.row(middle.Pix[y*middle.Stride:], src.Pix[y*src.Stride:])
	}
	dst := image.NewRGBA(image.Rect(0, 0, tw, th))
	sums := make([]int32, 4*tw)
	for y := range th {
		for i := range sums {
			sums[i] = weightOne / 2
		}
		for j, w := range down.weights[y] {
			row := middle.Pix[(down.first[y]+j)*middle.Stride:][:len(sums)]
			for i, v := range row {
				sums[i] += w * int32(v)
			}
		}
		out := dst.Pix[y*dst.Stride:][:len(sums)]
		for i, s := range sums {
			out[i] = clip14(s)
		}
	}
	return dst
}

// row scales one row; pictures are opaque by now, so alpha is not computed.
func (k kernel) row(dst, src []uint8) {
	for x, weights := range k.weights {
		r, g, b := int32(weightOne/2), int32(weightOne/2), int32(weightOne/2)
		pix := src[4*k.first[x]:][:4*len(weights)]
		for _, w := range weights {
			r += w * int32(pix[0])
			g += w * int32(pix[1])
			b += w * int32(pix[2])
			pix = pix[4:]
		}
		out := dst[4*x : 4*x+4]
		out[0], out[1], out[2], out[3] = clip14(r), clip14(g), clip14(b), 255
	}
}

func clip14(v int32) uint8 { return uint8(max(0, min(255, v>>14))) }
