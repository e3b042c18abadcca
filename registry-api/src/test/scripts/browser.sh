#!/usr/bin/env bash
# Puts a browser and its driver where the browser tests look. Debian as root: installs them. Elsewhere: says how.
set -u
has() { command -v "$1" >/dev/null 2>&1; }
{ has chromium || has google-chrome; } && has chromedriver && exit 0
if [ "$(id -u)" = 0 ] && has apt-get; then
  for try in 1 2; do
    apt-get -o DPkg::Lock::Timeout=120 -qq update >/dev/null 2>&1
    DEBIAN_FRONTEND=noninteractive apt-get -o DPkg::Lock::Timeout=120 -qq install -y --no-install-recommends \
      chromium chromium-driver >/dev/null 2>&1 && exit 0
    sleep 5
  done
fi
echo "The browser tests need chromium and chromedriver on the path; on Debian: apt-get install chromium chromium-driver" >&2
exit 1
