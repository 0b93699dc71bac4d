package faultdisk

import (
	"fmt"
	"syscall"
)

func mountSmall(dir string, bytes int) bool {
	return syscall.Mount("tuckring-test", dir, "tmpfs", 0, fmt.Sprintf("size=%d,mode=0700", bytes)) == nil
}

func mountReadOnly(dir string) bool {
	if syscall.Mount(dir, dir, "", syscall.MS_BIND, "") != nil {
		return false
	}
	if syscall.Mount("", dir, "", syscall.MS_BIND|syscall.MS_REMOUNT|syscall.MS_RDONLY, "") != nil {
		unmount(dir)
		return false
	}
	return true
}

func bind(dir, at string) bool { return syscall.Mount(dir, at, "", syscall.MS_BIND, "") == nil }

func unmount(dir string) { _ = syscall.Unmount(dir, syscall.MNT_DETACH) } // the test is over
