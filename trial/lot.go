package trial

// lot draws from a seed: the same seed gives the same lot. It is SplitMix64 (Steele, Lea and Flood 2014), which needs
// no chance of its own; the seed is printed, so that anybody can draw again.
type lot struct{ state uint64 }

func (l *lot) next() uint64 {
	l.state += 0x9e3779b97f4a7c15
	z := l.state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// below draws one of n as likely as any other.
func (l *lot) below(n int) int {
	most := ^uint64(0) - ^uint64(0)%uint64(n) // what lies above would favor the first
	for {
		if x := l.next(); x < most {
			return int(x % uint64(n))
		}
	}
}

// half draws which of n places get the first treatment: half of them, each half as likely as any other.
func (l *lot) half(n int) []bool {
	out := make([]bool, n)
	for i := range n / 2 {
		out[i] = true
	}
	for i := n - 1; i > 0; i-- {
		k := l.below(i + 1)
		out[i], out[k] = out[k], out[i]
	}
	return out
}
