package tutorial

import (
	"bytes"
	"context"
	"image"
	"math"
	"runtime"
	"sync"

	"github.com/HugoSmits86/nativewebp"
	"golang.org/x/image/draw"

	drawn "tuckring/internal/draw"
)

// The moving pictures: a side in pixels, how many pictures a turn has, and how long each stays, ms.
const (
	movingSide = 480
	turnFrames = 48
	turnMS     = 90
	buildMS    = 350
	doneMS     = 2500
	mostBuilt  = 120 // pictures of the figure growing; of more rings several come at once
)

// turntable shows the whole figure turning once around.
func (t *Tutorial) turntable(ctx context.Context) ([]byte, error) {
	at := t.growing.Turning(turnFrames)
	pictures := make([]func() *drawn.Drawing, turnFrames)
	for k := range pictures {
		pictures[k] = func() *drawn.Drawing { return at(k) }
	}
	return t.moving(ctx, pictures, func(int) uint { return turnMS })
}

// buildUp shows the figure growing ring by ring, in the order of the work.
func (t *Tutorial) buildUp(ctx context.Context) ([]byte, error) {
	var rows []int
	for i := range t.guide.Steps {
		rows = append(rows, t.guide.Steps[i].Row)
	}
	n := min(len(rows), mostBuilt)
	pictures := make([]func() *drawn.Drawing, n)
	for k := range pictures {
		built := rows[:(k+1)*len(rows)/n]
		pictures[k] = func() *drawn.Drawing { return t.growing.With(built) }
	}
	return t.moving(ctx, pictures, func(k int) uint {
		if k == n-1 {
			return doneMS
		}
		return buildMS
	})
}

// moving makes an animated WebP (RFC 9649) of pictures, which are laid into squares on white.
func (t *Tutorial) moving(ctx context.Context, pictures []func() *drawn.Drawing, ms func(k int) uint) ([]byte, error) {
	frames := make([]image.Image, len(pictures))
	next := make(chan int)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for k := range next {
				frames[k] = frame(pictures[k](), int(movingSide*t.fine))
			}
		})
	}
	for k := range pictures {
		if ctx.Err() != nil {
			break
		}
		next <- k
	}
	close(next)
	wait.Wait()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	a := &nativewebp.Animation{Images: frames, BackgroundColor: 0xffffffff}
	for k := range frames {
		a.Durations, a.Disposals = append(a.Durations, ms(k)), append(a.Disposals, 0)
	}
	var b bytes.Buffer
	if err := nativewebp.EncodeAll(&b, a, nil); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// frame lays a picture into the middle of a square, on white.
func frame(d *drawn.Drawing, side int) image.Image {
	scale := float64(side) * 0.94 / math.Max(d.Width, d.Height)
	img := d.Raster(scale)
	out := image.NewNRGBA(image.Rect(0, 0, side, side))
	draw.Draw(out, out.Bounds(), image.White, image.Point{}, draw.Src)
	at := image.Pt((side-img.Bounds().Dx())/2, side*97/100-img.Bounds().Dy())
	draw.Draw(out, img.Bounds().Add(at), img, image.Point{}, draw.Over)
	return out
}
