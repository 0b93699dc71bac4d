// Command table prints the figures that a run of the benchmarks has collected, one a line:
// what, measured, allowed, baseline, ratio to it and the most it may be, and whether it holds.
package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"runtime"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"tuckring/internal/gauge"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: table FILE")
		os.Exit(2)
	}
	if err := run(os.Args[1], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(path string, out io.Writer) error {
	in, err := os.Open(path)
	if err != nil {
		return err
	}
	defer func() { _ = in.Close() }()
	figures, err := read(in)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "\n%s, %d processors, load %s\n\n", time.Now().Format("2006-01-02 15:04"), runtime.NumCPU(), load())
	return write(out, figures)
}

// read takes the figures, the last one of each name.
func read(in io.Reader) ([]gauge.Figure, error) {
	var figures []gauge.Figure
	at := map[string]int{}
	for lines := bufio.NewScanner(in); ; {
		if !lines.Scan() {
			return figures, lines.Err()
		}
		var f gauge.Figure
		if err := json.Unmarshal(lines.Bytes(), &f); err != nil {
			return nil, err
		}
		if i, again := at[f.Name]; again {
			figures[i] = f
			continue
		}
		at[f.Name] = len(figures)
		figures = append(figures, f)
	}
}

func write(out io.Writer, figures []gauge.Figure) error {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "figure\tmeasured\tallowed\tbaseline\tratio\tat most\t\tagainst")
	for _, f := range figures {
		baseline, ratio, most := "", "", ""
		if f.Against != "" {
			baseline = number(f.Baseline) + " " + f.Unit
		}
		if f.Baseline > 0 {
			ratio = "× " + number(f.Measured/f.Baseline)
		}
		if f.Most > 0 {
			most = "× " + number(f.Most)
		}
		allowed, holds := number(f.Allowed)+" "+f.Unit, "ok"
		switch {
		case f.Count:
			allowed, holds = "", ""
		case f.Over():
			holds = "OVER"
		}
		fmt.Fprintf(w, "%s\t%s %s\t%s\t%s\t%s\t%s\t%s\t%s\n", f.Name, number(f.Measured), f.Unit, allowed, baseline, ratio, most, holds, f.Against)
	}
	return w.Flush()
}

// number writes three figures that count.
func number(v float64) string {
	decimals := 0
	for limit := 100.0; v < limit && decimals < 3; limit /= 10 {
		decimals++
	}
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// load is how many processes wanted the processors lately (1, 5, 15 minutes), where the system tells it.
func load() string {
	data, err := os.ReadFile("/proc/loadavg")
	if err != nil {
		return "unknown"
	}
	return strings.Join(strings.Fields(string(data))[:3], " ")
}
