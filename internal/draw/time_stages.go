package draw

import (
	"math"

	"tuckring/internal/pace"
	"tuckring/internal/words"
)

// stagePaint is how a stage looks: told apart by lightness, so that it reads in black and white too.
var stagePaint = map[pace.Task]colour{
	pace.Cutting:    ink,
	pace.Folding:    accent,
	pace.Assembling: mustHex("#7db5b1"),
	pace.Finishing:  accentTint,
}

// Stage is one stage of a job with its estimated time in minutes.
type Stage struct {
	Task pace.Task
	Time pace.Range
}

// Stages draws the stages of a job one after the other, each as long as is likely, with a line from the
// low to the high estimate of its own. The width is in mm.
func Stages(stages []Stage, width float64, say *words.Speaker) *Drawing {
	const row, name = 9.0, 30.0
	d := NewDrawing(width, row*float64(len(stages))+8, say.T("draw.stages.title"))
	end := 0.0
	likely := 0.0
	for _, s := range stages {
		end = max(end, likely+s.Time.High)
		likely += s.Time.Best
	}
	if !(end > 0) {
		return d
	}
	scale := (width - name - 4) / end
	bottom := row * float64(len(stages))
	hourLines(d, name, bottom, end, scale, say)
	from := 0.0
	for i, s := range stages {
		y := row * float64(i)
		d.Write(Label{X: 0, Y: y + 5.6, Text: say.Say(s.Task.Text()), Size: chartText, Ink: ink})
		x := name + from*scale
		d.Add((&Path{}).Rect(x, y+2, s.Time.Best*scale, row-4), Paint{Fill: stagePaint[s.Task], Stroke: edge, Line: 0.25})
		low, high, mid := x+s.Time.Low*scale, x+s.Time.High*scale, y+row/2
		whisker := (&Path{}).Move(low, mid).Line(high, mid).Move(low, mid-1.2).Line(low, mid+1.2).Move(high, mid-1.2).Line(high, mid+1.2)
		d.Add(whisker, Paint{Stroke: card, Line: 0.9})
		whisker = (&Path{}).Move(low, mid).Line(high, mid).Move(low, mid-1.2).Line(low, mid+1.2).Move(high, mid-1.2).Line(high, mid+1.2)
		d.Add(whisker, Paint{Stroke: ink, Line: 0.3})
		from += s.Time.Best
	}
	return d
}

// hourLines draws a time scale in hours, or in minutes for short jobs, from x on and below y. end is in
// minutes, scale in mm to a minute.
func hourLines(d *Drawing, x, y, end, scale float64, say *words.Speaker) {
	steps := []float64{5, 10, 15, 30, 60, 120, 180, 240, 360, 600, 1200, 1800, 3000, 6000, 12000, 30000, 60000}
	step := steps[len(steps)-1]
	for _, v := range steps {
		if v*scale >= 13 {
			step = v
			break
		}
	}
	for t := 0.0; t <= end+1e-9; t += step {
		at := x + t*scale
		d.Add((&Path{}).Move(at, 0).Line(at, y+1), Paint{Stroke: hair, Line: 0.25})
		d.Write(Label{X: at, Y: y + 5, Text: timeText(t, step, say), Size: smallText, Anchor: Middle, Ink: muted})
	}
}

func timeText(t, step float64, say *words.Speaker) string {
	if step >= 60 {
		return say.T("draw.hours", "Hours", wholeText(t/60))
	}
	if math.Mod(t, 60) == 0 && t > 0 {
		return say.T("draw.hours", "Hours", wholeText(t/60))
	}
	return say.T("draw.minutes", "Minutes", wholeText(t))
}
