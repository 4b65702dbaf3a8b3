@echo off
rem Opens the bench on Windows, with a double-click. Not yet run on Windows.
setlocal DisableDelayedExpansion
set "python="
where python >nul 2>nul && set "python=python"
where py >nul 2>nul && set "python=py -3"
if not defined python (
  echo Halfpin needs Python 3.11 or later, and there is none here. Install it from python.org.
  pause
  exit /b 2
)
%python% -I "%~dp0start_bench.py" %*
if errorlevel 1 pause
