package web

import "syscall"

// leastUrgent is the priority at which a thread of Linux takes what others leave (setpriority(2), which there is of one thread); less is how many steps
// behind its process one goes at which somebody waits: it has a tenth of a processor for which others strive (sched(7)).
const leastUrgent, less = 19, 10

// stepBack lets the thread of whoever calls it go last, or where it hurries behind the others and before those that go last. Where the system refuses it
// goes as the others do.
func stepBack(hurry bool) {
	at := leastUrgent
	if p, err := syscall.Getpriority(syscall.PRIO_PROCESS, 0); hurry && err == nil {
		at = min(leastUrgent, 20-p+less) // the system gives 20 less the priority
	}
	syscall.Setpriority(syscall.PRIO_PROCESS, 0, at)
}
