package measure

import (
	"image/color"
	"testing"

	"trug/science/card"
)

func BenchmarkPropose(b *testing.B) {
	p := NewPicture(capOn(color.RGBA{120, 90, 50, 255}, color.RGBA{210, 180, 140, 255}, 6))
	for b.Loop() {
		if _, err := p.Propose(card.Pixel{X: 300, Y: 230}, 250); err != nil {
			b.Fatal(err)
		}
	}
}
