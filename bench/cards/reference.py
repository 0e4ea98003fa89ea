"""The reference detectors on photographs, one JSON line for each.

    ls PHOTO... | /usr/bin/python3 reference.py [--fast]

A photograph's name is read a line, and what each detector found in it is
written, one a line, then an empty line: so that another program can run beside
it, photograph by photograph, under the same load.

--fast leaves out the two that look at every pixel of large photographs.

Debian packages python3-apriltag (3.3.0) and python3-opencv (4.6.0). One
thread each; the time is the process's CPU time from grey to corners. Corners
are tl, tr, br, bl of the black square, pixel centres at integers.
"""
import json
import sys
import time

import cv2
import numpy as np
from apriltag import apriltag

cv2.setNumThreads(1)


def april(decimate):
    d = apriltag("tag36h11", threads=1, maxhamming=2, decimate=decimate, blur=0.0, refine_edges=True)

    def run(grey):
        out = []
        for t in d.detect(grey):
            c = np.array(t["lb-rb-rt-lt"]) - 0.5
            out.append({"id": int(t["id"]), "corners": [c[3].tolist(), c[2].tolist(), c[1].tolist(), c[0].tolist()]})
        return out

    return run


def aruco(refine, rate=None, half=False):
    dictionary = cv2.aruco.Dictionary_get(cv2.aruco.DICT_APRILTAG_36h11)
    p = cv2.aruco.DetectorParameters_create()
    p.cornerRefinementMethod = refine
    if rate:
        p.minMarkerPerimeterRate = rate

    def run(grey):
        img = cv2.resize(grey, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA) if half else grey
        corners, ids, _ = cv2.aruco.detectMarkers(img, dictionary, parameters=p)
        out = []
        if ids is None:
            return out
        for i, c in zip(ids.ravel(), corners):
            c = c[0].astype(float)
            if half:
                c = (c + 0.5) * 2 - 0.5
            # OpenCV's order is br, bl, tl, tr of the upright tag.
            out.append({"id": int(i), "corners": [c[2].tolist(), c[3].tolist(), c[0].tolist(), c[1].tolist()]})
        return out

    return run


DETECTORS = {
    "AprilTag 3.3.0 decimate 1": april(1.0),
    "AprilTag 3.3.0 decimate 2": april(2.0),
    "OpenCV 4.6 aruco SUBPIX": aruco(cv2.aruco.CORNER_REFINE_SUBPIX),
    "OpenCV 4.6 aruco SUBPIX, half size": aruco(cv2.aruco.CORNER_REFINE_SUBPIX, half=True),
}
SMALL = {"OpenCV 4.6 aruco CONTOUR, perimeter rate 0.01": aruco(cv2.aruco.CORNER_REFINE_CONTOUR, rate=0.01)}

FAST = ("AprilTag 3.3.0 decimate 2", "OpenCV 4.6 aruco SUBPIX, half size")
if "--fast" in sys.argv:
    DETECTORS = {k: v for k, v in DETECTORS.items() if k in FAST}

for line in sys.stdin:
    path = line.rstrip("\n")
    grey = cv2.imread(path, cv2.IMREAD_GRAYSCALE | cv2.IMREAD_IGNORE_ORIENTATION)
    if grey is None:
        sys.exit(path + " is no photograph that OpenCV can read")
    detectors = DETECTORS | SMALL if grey.size < 1e6 else DETECTORS
    for name, run in detectors.items():
        t = time.process_time()
        tags = run(grey)
        ms = 1000 * (time.process_time() - t)
        print(json.dumps({"file": path, "detector": name, "ms": ms, "tags": tags}))
    print(flush=True)
