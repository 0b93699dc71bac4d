package figure

import (
	"math/bits"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// seams are the points at which the units of a split begin.
func seams(takes []int, start, offered int) []bool {
	at := make([]bool, offered)
	for _, t := range takes {
		at[((start%offered)+offered)%offered] = true
		start += t
	}
	return at
}

// readsTheSame says that a split is mirror-symmetric about the boundary before a point.
func readsTheSame(takes []int, start, offered, boundary int) bool {
	at := seams(takes, start, offered)
	for p := range at {
		if at[p] != at[((2*boundary-p)%offered+offered)%offered] {
			return false
		}
	}
	return true
}

// unevenness is the longest less the shortest way, in units, from one unit of a kind to the next.
func unevenness(takes []int, kind int) int {
	var at []int
	for i, t := range takes {
		if t == kind {
			at = append(at, i)
		}
	}
	if len(at) < 2 {
		return 0
	}
	least, most := len(takes), 0
	for i := range at {
		g := (at[(i+1)%len(at)] - at[i] + len(takes)) % len(takes)
		least, most = min(least, g), max(most, g)
	}
	return most - least
}

// Trying every split of every small ring whose takes differ by at most one and that reads the same to both
// sides of the front, none is more even than the one that is chosen.
func TestWideningsStandAsEvenlyAsTryingAllCanFind(t *testing.T) {
	checked := 0
	for n := 3; n <= 13; n++ {
		for offered := n + n%2; offered <= 4*n; offered += 2 {
			low, more := offered/n, offered%n
			for boundary := range 2 {
				best := n
				for mask := range 1 << n {
					if bits.OnesCount(uint(mask)) != more {
						continue
					}
					takes := make([]int, n)
					for i := range takes {
						takes[i] = low + mask>>i&1
					}
					for start := boundary - takes[0]; start <= boundary; start++ {
						if readsTheSame(takes, start, offered, boundary) {
							best = min(best, max(unevenness(takes, low), unevenness(takes, low+1)))
						}
					}
				}
				takes, start := mirrorSpread(n, offered, boundary)
				require.True(t, readsTheSame(takes, start, offered, boundary), "%d units on %d points: %v from %d", n, offered, takes, start)
				sum := 0
				for _, v := range takes {
					require.Contains(t, []int{low, low + 1}, v)
					sum += v
				}
				require.Equal(t, offered, sum)
				got := max(unevenness(takes, low), unevenness(takes, low+1))
				require.Equal(t, best, got, "%d units on %d points: %v", n, offered, takes)
				checked++
			}
		}
	}
	assert.Equal(t, 280, checked)
}

// 26 units on 24 give four units that take one point alone: 26 is 6 + 7 + 6 + 7. The earlier way left
// gaps of 5 and 8.
func TestWideningBy2OnALargeRingLeavesGapsOf6And7(t *testing.T) {
	for n := 3; n <= 200; n++ {
		for _, below := range []int{n - 1, n - 2, n - 3, n + 1, n + 2, n + 5, n * 2 / 3, n * 3 / 4} {
			if offered := 2 * below; below >= 3 && offered >= n && offered <= 4*n {
				takes, start := mirrorSpread(n, offered, 1)
				require.True(t, readsTheSame(takes, start, offered, 1), "%d on %d: %v", n, below, takes)
				low := offered / n
				require.LessOrEqual(t, max(unevenness(takes, low), unevenness(takes, low+1)), 1, "%d on %d: %v", n, below, takes)
			}
		}
	}
	takes, _ := mirrorSpread(26, 48, 0)
	assert.Equal(t, 1, unevenness(takes, 1), takes)
}
