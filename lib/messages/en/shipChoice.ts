/** Which samples the ship windows of a plant are for. */
export const shipChoice = {
  'shipChoice.laboratory': 'To {laboratory}',
  'shipChoice.protocol': '{protocol}, to {laboratory}',
} as const
