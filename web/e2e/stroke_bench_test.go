package e2e_test

import (
	"context"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/heapprofiler"
	"github.com/chromedp/chromedp"

	"tuckring/web/e2e"
)

// BenchmarkStroke drags over a big figure with the mirror and a 4-fold repeat on and reports, for the 95th
// percentile of all frames, the script time of a frame (script-ms) and the time from the input to the
// painted picture (shown-ms), with the page's memory and how long it took to open. The targets are those of
// issue 3: 200 × 64 within 16.7 ms and 60 MB; 500 × 200 within 33 ms, opened in 3 s.
func BenchmarkStroke(b *testing.B) {
	b.Run("200x64/target=16.7ms,60MB", func(b *testing.B) { benchStroke(b, 64, 200) })
	b.Run("500x200/target=33ms,3000ms", func(b *testing.B) { benchStroke(b, 200, 500) })
}

func benchStroke(b *testing.B, units, rings int) {
	app := e2e.Start(b)
	path := app.KeepFigure(b, plain(units, rings))
	maker := app.Desk(b)
	openEditor(maker, path)
	maker.Press("Symmetry: off")
	maker.Press("Mirror about the front line")
	maker.Press("Symmetry: Mirror")
	maker.Press("4 times around")
	for b.Loop() {
		for y := 150.0; y < 600; y += 50 {
			var stroke []e2e.Point
			for x := 200.0; x < 500; x += 11 {
				stroke = append(stroke, e2e.Point{X: x, Y: y + float64(int(x)%37)})
			}
			maker.Stroke(stroke...)
		}
	}
	b.ReportMetric(e2e.Eval[float64](maker, "performance.getEntriesByName('pattern-ready')[0].startTime"), "open-ms")
	for unit, name := range map[string]string{"script-ms": "stroke", "shown-ms": "stroke-input"} {
		b.ReportMetric(e2e.Eval[float64](maker, `(() => {
			const all = performance.getEntriesByName("`+name+`").map(e => e.duration).sort((a, b) => a - b);
			return all[Math.floor(all.length * 0.95)];
		})()`), unit)
	}
	maker.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, heapprofiler.CollectGarbage, cdp.Empty{})
		return err
	}))
	b.ReportMetric(e2e.Eval[float64](maker, "performance.memory.usedJSHeapSize / 1e6"), "heap-MB")
}
