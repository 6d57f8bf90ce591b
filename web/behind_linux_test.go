package web

import "syscall"

const stepsBack = true

// priority is that of the thread: of getpriority(2), whose number is turned round so that none is below 0.
func priority() int {
	p, _ := syscall.Getpriority(syscall.PRIO_PROCESS, 0)
	return p
}
