package programme

// The stable names of what figures say and are of, as tables of figures write them.
const (
	notGivenNames      = "not given"
	notRecordedNames   = "not recorded"
	leftOutNames       = ": answers left out"
	meanNames          = ": mean change"
	roseLowNames       = ": rose low"
	roseHighNames      = ": rose high"
	answersBeforeNames = ": answers before"
	answersAfterNames  = ": answers after"
	answersGivenNames  = ": answers given"
	averageNames       = ": average"
	averageLowNames    = ": average low"
	averageHighNames   = ": average high"
	responseNames      = ": response"
	poundsToldNames    = ": pounds told"
	hundredthsNames    = ", hundredths" // of an amount that is remembered as a whole number
	toYesNames         = ": to yes"
	toNoNames          = ": to no"
	byChanceNames      = ": by chance"
	hoursTaskNames     = "hours_task: "
	noCountyNames      = "no county"
	exactLowNames      = ": exact low"
	exactHighNames     = ": exact high"
	atMostNames        = ": nobody, at most"
	wholeLowNames      = ": low of the whole"
	wholeHighNames     = ": high of the whole"
	silentNoneNames    = ": if no silent one"
	silentAllNames     = ": if every silent one"
	earlyLateNames     = ": early minus late"
	earlyLateLowNames  = ": early minus late low"
	earlyLateHighNames = ": early minus late high"
	classesNames       = ": classes"
	classAnsweredNames = ": pupils "
	classRightNames    = ": right "
	classChangeNames   = ": change of classes"
	onlyAfterNames     = "after alone"
	severalNames       = "more than one"
	joinedNames        = "other or several groups"
	restNames          = "other, several or unknown"
	withheldNames      = "not shown"
	unknownName        = "unknown"
	fewerNames         = "fewer than "
	unsafeNames        = "no safe pattern with small + 4 cells or fewer"
	differNames        = "cells that differ by 1 to t-1 between the two reports"
)

// fitNames are words of records that are ours, so that a public copy may show them.
var fitNames = []string{"copies printed", "copies sent", "listeners (estimate)", "page views", "views", "viewers (estimate)", "plays", "mix", "ph", "safety", "water", "feed", "light", "growing", "build", "harvest", "market"}

// parityOfNames stand around the percent that is asked for.
var parityOfNames = [...]string{"parity ", " %: "}

// fewPupilsNames are what a result of pupils says.
var fewPupilsNames = [...]string{"fewer than ", " pupils: not shown", "95 % or more", "5 % or less"}

// verdictNames are the verdicts on a trial.
var verdictNames = [...]string{"difference shown", "no difference shown"}
