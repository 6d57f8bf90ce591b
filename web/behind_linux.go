package web

import "syscall"

// leastUrgent is the priority at which a thread of Linux takes what others leave (setpriority(2), which there is of one thread).
const leastUrgent = 19

// stepBack lets the thread of whoever calls it go last. Where the system refuses it goes as the others do.
func stepBack() { syscall.Setpriority(syscall.PRIO_PROCESS, 0, leastUrgent) }
