//go:build !linux

package faultdisk

func mountSmall(string, int) bool { return false }

func mountReadOnly(string) bool { return false }

func bind(string, string) bool { return false }

func unmount(string) {}
