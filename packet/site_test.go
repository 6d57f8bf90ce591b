package packet_test

import (
	"strings"
	"testing"

	"raftwright/plan"
)

// paperOf gives all words of a packet, with single plain spaces.
func paperOf(t *testing.T, text string) (string, plan.Plan) {
	paper, _, p := printed(t, text)
	return strings.Join(strings.Fields(paper), " "), p
}

// How level the ground must be is one figure: where it is out by more than is asked
// for, the steps of the work ask for what the finding asks.
func TestLevelIsOneFigure(t *testing.T) {
	paper, p := paperOf(t, "bed: {length: 97 in, width: 49 in, depth: 6 in, level error: 1/2 in}\n")
	if !strings.Contains(paper, "Level the ground to 1/4 in from end to end. It is 1/2 in out.") || strings.Contains(paper, "at most 1/2 in out") || !strings.Contains(paper, "at most 1/4 in out") {
		t.Errorf("level to %v in", p.Frame.LevelTo().Inches())
	}
}

// The play of the raft is told once: where it is wider along some sides than the gap
// asked for, the frame says both.
func TestPlayIsOneFigure(t *testing.T) {
	paper, p := paperOf(t, "bed: {length: 100 in, width: 50 in, depth: 6 in}\n")
	if !strings.Contains(paper, "1/2 in of play on every side, 1 in on some") && p.Raft.Play.X != p.Raft.Play.Y {
		t.Errorf("play %v", p.Raft.Play)
	}
	paper, p = paperOf(t, "bed: {length: 97 in, width: 49 in, depth: 6 in}\n")
	if !strings.Contains(paper, "of play on every side.") || p.Raft.Play.X != p.Raft.Play.Y {
		t.Errorf("play %v", p.Raft.Play)
	}
}

// Pinches for a gallon are told for the bucket of the brief.
func TestPinchesAreToldForTheBucketOfTheBrief(t *testing.T) {
	text := "bed: {length: 97 in, width: 49 in, depth: 6 in}\nfound: {per: 1 gal, amounts: {calcium nitrate 15.5-0-0: 1 g, hydroponic base powder 5-12-26: 3 g}}\n"
	paper, _ := paperOf(t, text+"mix: {bucket: 3 gal}\n")
	if strings.Contains(paper, "In 5 gal") || strings.Contains(paper, "In 5.0 gal") || !strings.Contains(paper, "In 3.0 gal") {
		i := strings.Index(paper, "In 5")
		t.Error(paper[max(0, i-200):min(len(paper), max(0, i)+200)])
	}
}
