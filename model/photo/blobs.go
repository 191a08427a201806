package photo

import (
	"cmp"
	"slices"
)

// A blob is pixels of the small copy that hang together.
type blob struct {
	minX, minY, maxX, maxY int
	n                      int
	sumX, sumY             int
	pixels                 []int32
}

func (b *blob) width() int  { return b.maxX - b.minX + 1 }
func (b *blob) height() int { return b.maxY - b.minY + 1 }

// blobs parts a mask of the small copy, width w, into blobs of at least some pixels. It clears the mask.
func blobs(mask []bool, w, least int) (all []blob) {
	var stack []int32
	h := len(mask) / w
	for start := range mask {
		if !mask[start] {
			continue
		}
		b := blob{minX: w, minY: h}
		mask[start] = false
		stack = append(stack[:0], int32(start))
		for len(stack) > 0 {
			at := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			x, y := int(at)%w, int(at)/w
			b.minX, b.minY = min(b.minX, x), min(b.minY, y)
			b.maxX, b.maxY = max(b.maxX, x), max(b.maxY, y)
			b.n, b.sumX, b.sumY = b.n+1, b.sumX+x, b.sumY+y
			b.pixels = append(b.pixels, at)
			for j := max(y-1, 0); j <= min(y+1, h-1); j++ {
				for i := max(x-1, 0); i <= min(x+1, w-1); i++ {
					if next := j*w + i; mask[next] {
						mask[next] = false
						stack = append(stack, int32(next))
					}
				}
			}
		}
		if b.n >= least {
			all = append(all, b)
		}
	}
	return all
}

// mostBlobs are looked at closely, so that no picture takes for ever.
const mostBlobs = 250

// nearest keeps the blobs that are like what is looked for, by a score of which less is better.
func nearest(all []blob, score func(b blob) float64) []blob {
	if len(all) <= mostBlobs {
		return all
	}
	slices.SortStableFunc(all, func(a, b blob) int { return cmp.Compare(score(a), score(b)) })
	return all[:mostBlobs]
}
