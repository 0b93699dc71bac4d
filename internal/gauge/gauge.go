// Package gauge collects the performance figures that the project promises. A benchmark measures one
// beside a baseline of the same run, so that a busy or a slow machine meets both alike, and reports it
// here; `make bench` shows all of them in one table. Only benchmarks import it.
package gauge

import (
	"encoding/json"
	"os"
	"slices"
	"testing"
	"time"
)

// Figure is one promise: what was measured, the most that is allowed, and what it is compared with.
type Figure struct {
	Name     string
	Unit     string // of the three numbers: "ms", "µs", "kB", …
	Measured float64
	Allowed  float64
	Baseline float64 // measured in the same run
	Against  string  // what the baseline is; empty where there is none
	Most     float64 // how many times the baseline is allowed; 0 where the baseline only tells, as of another size
	Count    bool    // only told, with nothing allowed or forbidden: how much the other figures rest on
}

// File is the environment variable that names the file which figures are added to, one JSON line each.
const File = "TUCKRING_FIGURES"

// Report shows a figure as the benchmark's result and adds it to the file, if one is named.
func Report(b *testing.B, f Figure) {
	b.Helper()
	b.ReportMetric(0, "ns/op") // the mean says nothing
	b.ReportMetric(f.Measured, f.Unit)
	if f.Baseline > 0 {
		b.ReportMetric(f.Measured/f.Baseline, "×baseline")
	}
	path := os.Getenv(File)
	if path == "" {
		return
	}
	line, err := json.Marshal(f)
	if err != nil {
		b.Fatal(err)
	}
	out, err := os.OpenFile(path, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
	if err != nil {
		b.Fatal(err)
	}
	defer func() {
		if err := out.Close(); err != nil {
			b.Fatal(err)
		}
	}()
	if _, err := out.Write(append(line, '\n')); err != nil {
		b.Fatal(err)
	}
}

// Quiet is the share of a deed's runs that the machine is trusted to have left undisturbed: the slowest of
// the quiet quarter stands for all.
const Quiet = 0.25

// Baseline is what a deed is compared with: work that says something of the deed, such as what it cannot do without, or
// what it does more than. Most is how many times as long the deed may take.
type Baseline struct {
	Name string
	Deed func()
	Most float64
}

// Duration measures a deed over and over, in turns with its baseline, and reports it.
func Duration(b *testing.B, name string, allowed time.Duration, deed func(), base Baseline) {
	b.Helper()
	measured, bare := Turns(b, deed, base.Deed)
	Report(b, Figure{Name: name, Unit: "ms", Measured: MS(measured), Allowed: MS(allowed), Baseline: MS(bare), Against: base.Name, Most: base.Most})
}

// Over says that a figure does not hold: more than is allowed, or more times its baseline.
func (f Figure) Over() bool {
	return !f.Count && (f.Measured > f.Allowed || f.Most > 0 && f.Measured > f.Most*f.Baseline)
}

// Turns carries out a deed and its baseline in turns and gives the quiet time of both.
func Turns(b *testing.B, deed, baseline func()) (measured, base time.Duration) {
	var deeds, bases []time.Duration
	for b.Loop() {
		start := time.Now()
		baseline()
		middle := time.Now()
		deed()
		bases, deeds = append(bases, middle.Sub(start)), append(deeds, time.Since(middle))
	}
	return Share(deeds, Quiet), Share(bases, Quiet)
}

// Share is the time that a share of all times does not exceed: 0.5 the median, 0.95 the 95th percentile.
func Share(times []time.Duration, share float64) time.Duration {
	sorted := slices.Sorted(slices.Values(times))
	return sorted[min(len(sorted)-1, int(share*float64(len(sorted))))]
}

// MS is a time in milliseconds.
func MS(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }
