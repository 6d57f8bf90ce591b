//go:build !linux

package web

const stepsBack = false

func priority() int { return 0 }
