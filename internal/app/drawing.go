package app

import (
	"context"
	"fmt"
)

// DrawingProgress tells how far the demonstration's photographs are drawn;
// nothing of nothing where none are.
func (a *App) DrawingProgress(ctx context.Context, v Viewer) (DrawingProgress, error) {
	if err := v.Permit(SeeDrawing); err != nil {
		return DrawingProgress{}, err
	}
	var p DrawingProgress
	if a.Drawing == nil {
		return p, nil
	}
	p.Done, p.Total, p.Seconds = a.Drawing.Progress()
	if p.Done < p.Total {
		left := fmt.Sprintf("about %d seconds", max(p.Seconds, 1))
		if p.Seconds >= 90 {
			left = fmt.Sprintf("about %d minutes", (p.Seconds+30)/60)
		}
		p.Says = fmt.Sprintf("The demonstration's photographs are being drawn: %d of %d, %s left.", p.Done, p.Total, left)
	}
	return p, nil
}
