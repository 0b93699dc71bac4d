package picture

import (
	"strconv"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// MaxStock is the most units that a stock may tell of.
const MaxStock = 10_000_000

// Stock reads how many units there are of each paper: lines such as "soot 60", a paper's ID or its name and a number. It fails with
// the number of the line that cannot be read, names no paper of those given, or names one a second time.
func Stock(data []byte, papers []figure.Colour) (map[string]int, error) {
	if len(data) > 1<<20 {
		return nil, words.T("picture.stock.heavy", "Limit", 1)
	}
	out := map[string]int{}
	for n, line := range strings.Split(strings.TrimPrefix(string(data), "\ufeff"), "\n") {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		at := strings.LastIndexAny(line, " \t")
		if at < 0 {
			return nil, words.T("picture.stock.line", "Line", n+1, "Found", clip(line))
		}
		name, number := strings.TrimSpace(line[:at]), line[at+1:]
		units, err := strconv.Atoi(number)
		if err != nil || units < 0 || units > MaxStock {
			return nil, words.T("picture.stock.number", "Line", n+1, "Found", clip(number), "Most", MaxStock)
		}
		id, ok := PaperNamed(papers, name)
		if !ok {
			return nil, words.T("picture.stock.name", "Line", n+1, "Found", clip(name))
		}
		if _, twice := out[id]; twice {
			return nil, words.T("picture.stock.twice", "Line", n+1, "Found", clip(name))
		}
		out[id] = units
	}
	return out, nil
}

// PaperNamed finds a paper by its ID, or else by its name or colour, in capitals or not; of two that a name could mean none.
func PaperNamed(papers []figure.Colour, name string) (id string, ok bool) {
	for _, p := range papers {
		if p.ID == name {
			return p.ID, true
		}
	}
	hex := ""
	for _, p := range papers {
		if !strings.EqualFold(p.Name, name) && !strings.EqualFold(p.Hex, name) {
			continue
		}
		if ok && p.Hex != hex {
			return "", false
		}
		if !ok {
			id, hex, ok = p.ID, p.Hex, true
		}
	}
	return id, ok
}
