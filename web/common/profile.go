package common

// ProfileWidth and profileHeight are the size of the drawing of the rings' widths, mm.
const ProfileWidth, ProfileHeight = 110.0, 92.0
